"""Whether a record contradicts itself, and words that no seller should write."""
