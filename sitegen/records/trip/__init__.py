"""Opening hours, and advice for buyers who come to the store."""
