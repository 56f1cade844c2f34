"""What standing facts are found by: words that sound dangerous, rules for figures, and answers to them."""
