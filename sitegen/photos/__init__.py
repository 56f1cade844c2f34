"""Which pictures, and their bytes? Reads photos, plans and makes pictures, and keeps those it has made."""
