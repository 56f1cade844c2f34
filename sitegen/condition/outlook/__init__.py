"""Compute when each item falls due and what it costs, as ranges, from measurements, dates and records."""
