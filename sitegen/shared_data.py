"""Where what every store shares is kept: beside the code in an installed wheel, at the top of a working copy."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def content_folder() -> Path:
    """Return the folder of words and reference figures."""
    return _shared("content")


def themes_folder() -> Path:
    """Return the folder of themes."""
    return _shared("themes")


def _shared(name: str) -> Path:
    installed = _PACKAGE / name
    return installed if installed.is_dir() else _PACKAGE.parent / name
