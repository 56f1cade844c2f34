"""How does it go out, whole? Writes `published/` so that it holds a complete site at every instant."""
