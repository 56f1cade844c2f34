"""A whole site, composed and not yet anywhere: what `pages` hands to `publishing`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path


@dataclass(frozen=True)
class Site:
    """Every file of a site, by its path: relative, with forward slashes, such as `vehicles/K102/index.html`."""

    pages: Mapping[str, bytes]
    """Files made of bytes: pages, style sheets, scripts, feeds."""
    files: Mapping[str, Path] = field(default_factory=dict)
    """Files that exist already and are taken over as they are: pictures, fonts."""

    def paths(self) -> list[str]:
        """Return every path of the site, sorted."""
        return sorted({*self.pages, *self.files})
