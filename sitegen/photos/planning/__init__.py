"""Which pictures to make of a photo: pure."""
