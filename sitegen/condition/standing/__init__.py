"""The list of standing facts: every surface of the site reads it, and none finds such a thing by itself."""
