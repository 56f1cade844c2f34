"""Judge the measurements of the tires."""
