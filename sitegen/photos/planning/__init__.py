"""Plan the pictures of a photo: sizes, formats, qualities and file names. Pure."""
