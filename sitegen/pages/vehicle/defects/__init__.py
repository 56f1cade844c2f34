"""Every disclosed defect: its words, its photos, its place on the drawing of the body."""
