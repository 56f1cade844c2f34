"""The pages on which a vehicle is found among others: lists, filters, comparison, and the exported data files."""
