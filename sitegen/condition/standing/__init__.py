"""Find a vehicle's standing facts: all that a buyer should know and nobody has put right.

Every page uses this list.
"""
