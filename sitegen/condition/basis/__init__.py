"""The types of findings, and functions that several judges share."""
