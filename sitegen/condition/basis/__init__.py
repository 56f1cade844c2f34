"""What findings are made of, and what more than one judge has use for."""
