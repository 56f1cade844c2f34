"""Every component of a theme in each of its states."""
