"""What making photos into pictures yields: for each photo, the pictures a page can choose from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path


@dataclass(frozen=True)
class Candidate:
    """One picture: its size in pixels, and its file name under `pictures/` on the site."""

    width: int
    height: int
    name: str


@dataclass(frozen=True)
class Candidates:
    """The same photo in one format at several widths, narrowest first: what a `srcset` lists."""

    mime: str
    sizes: tuple[Candidate, ...]


@dataclass(frozen=True)
class Picture:
    """Everything a page needs to show one photo."""

    width: int
    height: int
    """Size of the upright photo, in pixels; no picture made of it is larger."""
    sources: tuple[Candidates, ...]
    """Best format first, for `source` elements."""
    fallback: Candidate
    """A JPEG of middling width, for `img`."""
    full: Candidate
    """The largest picture, a JPEG, for looking closely."""
    placeholder: str
    """The photo's mean color as #rrggbb, to stand in its place until it has loaded."""
    digest: str
    """SHA-256 of the largest picture's file, in hexadecimal: what was shown of the photo, covers and all."""

    def names(self) -> tuple[str, ...]:
        """Return the file names of all pictures made of this photo."""
        listed = [size.name for source in self.sources for size in source.sizes]
        return (*listed, self.fallback.name, self.full.name)


@dataclass(frozen=True)
class Pictures:
    """The pictures of a store, and the folder that holds their files."""

    folder: Path
    by_photo: Mapping[tuple[str, str], Picture]

    def of(self, stock: str, file: str) -> Picture:
        """Return the pictures of one photo, by the vehicle's stock number and the file as its record names it."""
        return self.by_photo[stock, file]

    def of_vehicle(self, stock: str) -> Mapping[str, Picture]:
        """Return the pictures of all photos of a vehicle, by file; none where it has no photo."""
        return self._by_vehicle.get(stock, {})

    @cached_property
    def _by_vehicle(self) -> Mapping[str, Mapping[str, Picture]]:
        found: dict[str, dict[str, Picture]] = {}
        for (stock, file), picture in sorted(self.by_photo.items(), key=lambda item: item[0]):
            found.setdefault(stock, {})[file] = picture
        return found

    def files(self) -> Mapping[str, Path]:
        """Return where each picture's file is now, by the name it is published under."""
        return {name: self.folder / name for picture in self.by_photo.values() for name in picture.names()}
