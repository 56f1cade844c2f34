"""Visits, and the current record of a vehicle as the fold of its first inspection and its visits. Pure."""
