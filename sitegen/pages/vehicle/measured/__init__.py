"""What was measured, in words and as rulers."""
