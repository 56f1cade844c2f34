"""What was disclosed, and when: lines that are only ever added, each holding the one before it."""
