"""The component page: every component of a theme in each of its states, for whoever works on a theme."""
