"""What is printed of a vehicle."""
