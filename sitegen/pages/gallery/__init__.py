"""The component page: every component of a theme in each of its states, for theme authors."""
