"""Links that readers keep: versions of a vehicle's published facts, and the differences between two versions."""
