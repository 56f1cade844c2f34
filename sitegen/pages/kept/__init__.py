"""Links that shoppers keep: versions of a vehicle's published facts, and the differences between versions."""
