"""Decode a photo and encode its pictures: upright, sRGB, covered where asked, and without metadata."""
