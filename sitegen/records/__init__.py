"""Record types: vehicles, store settings, reference figures, themes. Immutable and exact; they import no other room."""
