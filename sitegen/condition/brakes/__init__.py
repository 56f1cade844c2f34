"""Judge the measurements of the brakes."""
