"""Records of what stands at the wheels."""
