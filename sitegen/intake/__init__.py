"""Create a new store, and add vehicles and inspections to an existing one."""
