"""The parts of a vehicle's page for other programs: the share picture, and JSON-LD for search engines."""
