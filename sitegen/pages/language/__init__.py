"""Message catalogs, number and date formats, and the translator that combines them."""
