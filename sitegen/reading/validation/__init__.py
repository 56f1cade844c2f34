"""Validate parsed YAML against a record type, and explain each mistake."""
