"""The cache of earlier results in the store's `.cache/`, and the check whether files have changed."""
