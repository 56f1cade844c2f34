"""What earlier runs left in the store's `.cache/`, and whether files are as they were then."""
