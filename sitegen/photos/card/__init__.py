"""Measure a length in a photo with a card of known size that lies beside it."""
