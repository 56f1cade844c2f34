"""Measurements of speed, size and quality: `python -m tests.bench NAME`. They judge nothing; tests do."""
