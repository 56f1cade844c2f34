"""What changed since somebody looked: versions of what a vehicle's page discloses, and what lies between them."""
