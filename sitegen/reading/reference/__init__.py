"""The figures and names that ship with the generator, from `content/reference/`."""
