"""What changed between two inspections of one vehicle."""
