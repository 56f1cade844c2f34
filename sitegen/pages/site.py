"""A composed site that is not yet written to disk: the value that `pages` hands to `publishing`."""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from hashlib import sha256
from pathlib import Path

from sitegen.pages.frame.page import ShareDrawing
from sitegen.pages.vehicle_pages import StoredFile, content_of


class GeneratedFiles(Mapping[str, bytes]):
    """The bytes of generated files, by path: those of vehicles stay where they are stored, others are compressed."""

    def __init__(self, content: Callable[[str], bytes]) -> None:
        """`content` takes a stock number and returns the vehicle's compressed files as one bytes object."""
        self._content = content
        self._stored: dict[str, tuple[str, StoredFile]] = {}
        self._others: dict[str, bytes] = {}
        self.digests: dict[str, str] = {}
        """SHA-256 of each file's bytes, by path."""

    def put(self, path: str, content: bytes) -> None:
        """Compress a file that belongs to no vehicle, and add it."""
        self._others[path] = zlib.compress(content, 1)
        self.digests[path] = sha256(content).hexdigest()

    def put_stored(self, stock: str, file: StoredFile) -> None:
        """Add a file of a vehicle by its place in the vehicle's stored bytes. The bytes are not read."""
        self._stored[file.path] = stock, file
        self.digests[file.path] = file.digest

    def __getitem__(self, path: str) -> bytes:
        if path in self._others:
            return zlib.decompress(self._others[path])
        stock, file = self._stored[path]
        return content_of(file, self._content(stock))

    def __contains__(self, path: object) -> bool:
        return path in self.digests

    def __iter__(self) -> Iterator[str]:
        return iter(self.digests)

    def __len__(self) -> int:
        return len(self.digests)


@dataclass(frozen=True)
class Site:
    """Every file of a site by its relative path with forward slashes, such as `vehicles/K102/index.html`."""

    pages: Mapping[str, bytes]
    """The bytes of generated files: pages, style sheets, scripts, feeds."""
    files: Mapping[str, Path] = field(default_factory=dict)
    """Existing files that are published unchanged: pictures, films."""
    drawings: tuple[ShareDrawing, ...] = ()
    """Share pictures that pages name and that are not drawn yet."""
    lasting: frozenset[str] = frozenset()
    """Files that a page in an open tab may still request after they are no longer part of the site."""
    cache: Path | None = None
    """The cache folder. Files published from it may be hard links, because they can be made again."""
    digests: Mapping[str, str] = field(default_factory=dict)
    """SHA-256, in hexadecimal, of the store's own files at the time when they were read."""
    page_digests: Mapping[str, str] = field(default_factory=dict)
    """SHA-256 of the bytes of `pages`, by path."""

    def paths(self) -> list[str]:
        """Return the paths of all files, sorted."""
        return sorted({*self.pages, *self.files})

    def with_pages(self, pages: Mapping[str, bytes], digests: Mapping[str, str]) -> Site:
        """Return the site with these pages and digests in place of its own."""
        return replace(self, pages=pages, page_digests=digests)

    def besides(self, others: Mapping[str, Path]) -> Site:
        """Return the site with more files. A path that the site has already is not replaced."""
        new = {path: file for path, file in others.items() if path not in self.pages}
        return replace(self, files={**new, **self.files})

    def with_drawn(self, drawn: Mapping[str, Path]) -> Site:
        """Return the site with its share pictures, and none left to draw."""
        return replace(self, files={**self.files, **drawn}, drawings=())
