"""The texts of `sitegen help`: keys of files, names that records may use, and documents."""
