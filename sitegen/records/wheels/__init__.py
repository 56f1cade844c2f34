"""Record types of the tires."""
