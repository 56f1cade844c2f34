"""A whole site, composed and not yet anywhere: what `pages` hands to `publishing`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from sitegen.pages.frame.page import ShareDrawing, Source


@dataclass(frozen=True)
class Site:
    """Every file of a site, by its path: relative, with forward slashes, such as `vehicles/K102/index.html`."""

    pages: Mapping[str, bytes]
    """Files made of bytes: pages, style sheets, scripts, feeds."""
    files: Mapping[str, Path] = field(default_factory=dict)
    """Files that exist already and are taken over as they are: pictures, fonts."""
    made_from: Mapping[str, frozenset[Source]] = field(default_factory=dict)
    """What each page is made from: while none of it changes, neither does the page."""
    drawings: tuple[ShareDrawing, ...] = ()
    """Pictures for shared links that pages name, and that are still to be made."""
    lasting: frozenset[str] = frozenset()
    """What a page that is open in a tab may still ask for after it has fallen away."""
    cache: Path | None = None
    """A folder of files that can be made again: what is published of it may be the same file under a second name."""
    digests: Mapping[str, str] = field(default_factory=dict)
    """SHA-256, in hexadecimal, that files of the store's own had when they were read."""
    imprints: Mapping[str, str] = field(default_factory=dict)
    """What tells the bytes of pages apart without a look at them: where it is the same, so are they."""

    def paths(self) -> list[str]:
        """Return every path of the site, sorted."""
        return sorted({*self.pages, *self.files})

    def with_pages(self, pages: Mapping[str, bytes], imprints: Mapping[str, str]) -> Site:
        """Return the site with other bytes for its pages."""
        return replace(self, pages=pages, imprints=imprints)

    def besides(self, others: Mapping[str, Path]) -> Site:
        """Return the site with other files besides its own."""
        new = {path: file for path, file in others.items() if path not in self.pages}
        return replace(self, files={**new, **self.files})

    def with_drawn(self, drawn: Mapping[str, Path]) -> Site:
        """Return the site with the pictures that were still to be made."""
        return replace(self, files={**self.files, **drawn}, drawings=())
