"""The bay page: a page for a phone, on which a technician takes a vehicle in."""
