"""Compare a vehicle's inspection with its earlier ones."""
