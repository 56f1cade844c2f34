"""What is in the video of a vehicle, and in its captions and chapters?"""
