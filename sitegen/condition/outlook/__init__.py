"""When will it need doing, and for about how much? From one measurement, a date or a record to ranges."""
