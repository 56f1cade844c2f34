"""Zips from the bay page: their layouts, safe unpacking, and copies of photos."""
