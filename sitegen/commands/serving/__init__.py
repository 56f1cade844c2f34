"""The preview's web server. It answers this computer only."""
