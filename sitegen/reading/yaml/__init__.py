"""Parse YAML files into trees that keep the line and column of each key and value."""
