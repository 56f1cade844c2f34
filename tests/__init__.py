"""Tests of sitegen. Run them with `python3 -m tests`."""
