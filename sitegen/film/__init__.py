"""The film of a vehicle: the clips that a phone recorded become one film for the web."""
