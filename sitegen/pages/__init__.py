"""Build pages: records, findings and pictures become view models, then HTML as bytes. Nothing is written to disk."""
