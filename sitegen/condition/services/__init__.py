"""Judge when services fall due, from records, intervals and what the walk found."""
