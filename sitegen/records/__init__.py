"""Record types: vehicles, store settings, reference figures, themes. Immutable and exact; pure data."""
