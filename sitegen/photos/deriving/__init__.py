"""One photo in, one picture out."""
