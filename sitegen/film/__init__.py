"""The film: clips as a phone writes them in, one film for the web out."""
