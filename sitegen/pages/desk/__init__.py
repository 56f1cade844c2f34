"""What does the salesperson need on the lot: a message, an answer, what is still to do, the order of a film?"""
