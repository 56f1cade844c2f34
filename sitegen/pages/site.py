"""A composed site that is not yet written to disk: the value that `pages` hands to `publishing`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from sitegen.pages.frame.page import ShareDrawing, Source


@dataclass(frozen=True)
class Site:
    """Every file of a site by its relative path with forward slashes, such as `vehicles/K102/index.html`."""

    pages: Mapping[str, bytes]
    """The bytes of generated files: pages, style sheets, scripts, feeds."""
    files: Mapping[str, Path] = field(default_factory=dict)
    """Existing files that are published unchanged: pictures, films."""
    made_from: Mapping[str, frozenset[Source]] = field(default_factory=dict)
    """The sources of each page. A page changes only if one of them changes."""
    drawings: tuple[ShareDrawing, ...] = ()
    """Share pictures that pages name and that are not drawn yet."""
    lasting: frozenset[str] = frozenset()
    """Files that a page in an open tab may still request after they are no longer part of the site."""
    cache: Path | None = None
    """The cache folder. Files published from it may be hard links, because they can be made again."""
    digests: Mapping[str, str] = field(default_factory=dict)
    """SHA-256, in hexadecimal, of the store's own files at the time when they were read."""
    imprints: Mapping[str, str] = field(default_factory=dict)
    """Digests of the pages' bytes, by path."""

    def paths(self) -> list[str]:
        """Return the paths of all files, sorted."""
        return sorted({*self.pages, *self.files})

    def with_pages(self, pages: Mapping[str, bytes], imprints: Mapping[str, str]) -> Site:
        """Return the site with these pages and digests in place of its own."""
        return replace(self, pages=pages, imprints=imprints)

    def besides(self, others: Mapping[str, Path]) -> Site:
        """Return the site with more files. A path that the site has already is not replaced."""
        new = {path: file for path, file in others.items() if path not in self.pages}
        return replace(self, files={**new, **self.files})

    def with_drawn(self, drawn: Mapping[str, Path]) -> Site:
        """Return the site with its share pictures, and none left to draw."""
        return replace(self, files={**self.files, **drawn}, drawings=())
