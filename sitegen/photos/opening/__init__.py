"""Validate each photo and read its header before any picture is made. Nothing here decodes pixels."""
