"""How is it said? The words of a language, how it writes figures, and the two together."""
