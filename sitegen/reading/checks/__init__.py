"""Checks between the values of a record, and between a record and the files beside it."""
