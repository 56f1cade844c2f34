"""What do the figures of the brakes mean?"""
