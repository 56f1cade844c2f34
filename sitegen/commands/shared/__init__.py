"""Shared by several commands: the steps from files to a site, the clock, the terminal, and printed problems."""
