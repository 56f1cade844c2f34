"""Read the reference figures and names that ship with sitegen in `content/reference/`."""
