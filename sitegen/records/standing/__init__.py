"""The data by which standing facts are found: dangerous words, rules for figures, and answers in the record."""
