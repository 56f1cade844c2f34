"""A store begins, and a vehicle comes in: folders and files with all that is known, and nothing that nobody said."""
