"""When do services fall due, by the records?"""
