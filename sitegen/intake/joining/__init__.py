"""A later inspection joined with what the store's record knows: which flaws are the same, and what still holds."""
