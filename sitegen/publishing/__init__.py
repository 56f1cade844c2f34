"""Publish a site to a folder so that the folder holds a complete site at every instant."""
