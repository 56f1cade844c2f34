"""Find the standing facts of a vehicle. Every surface of the site uses this one list."""
