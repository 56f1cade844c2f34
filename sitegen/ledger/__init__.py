"""The ledger: an append-only, hash-chained log of what was published about each vehicle, and when."""
