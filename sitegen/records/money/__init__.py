"""Money: the store's price list."""
