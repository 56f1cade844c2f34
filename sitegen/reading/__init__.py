"""Is this file right, and if not, where? Reads YAML into records and reports every problem of every file."""
