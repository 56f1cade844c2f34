"""Compare two disclosures of a vehicle: what changed, what was removed, and what needs a reason. Pure."""
