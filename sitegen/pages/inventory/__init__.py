"""How is a vehicle found among others? Lists, filters, comparison, and the same as data."""
