"""Read the video of a vehicle, and its caption and chapter files."""
