"""Money: the store's price list, its fees, and what it offers to do."""
