"""Read a store's YAML files into records, and report every problem of every file with its place."""
