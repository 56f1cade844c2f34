"""The inbox: zips that people's phones put into a folder are taken into the store."""
