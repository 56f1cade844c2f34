"""Views of disclosed defects: texts, photos with marks, sizes, and pins on the drawing of the body."""
