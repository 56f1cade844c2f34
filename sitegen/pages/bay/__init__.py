"""The bay page: an offline page for a phone, on which a technician records a vehicle's inspection."""
