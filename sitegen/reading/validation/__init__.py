"""Does it fit the record, and if not, what was expected there?"""
