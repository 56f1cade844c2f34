"""The costs of buying: price, fees, delivery, work on offer, and upkeep."""
