"""What do the figures of the tires mean?"""
