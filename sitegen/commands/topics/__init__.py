"""What `sitegen help` prints: keys of files, names that records may use, documents."""
