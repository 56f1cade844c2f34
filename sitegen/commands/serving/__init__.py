"""The preview's own server, on this computer only."""
