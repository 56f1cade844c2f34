"""What several commands need: the way from files to a site, the clock, the terminal, and how a problem is told."""
