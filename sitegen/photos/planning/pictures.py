"""The pictures that were made of a store's photos, as pages use them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path


@dataclass(frozen=True)
class Candidate:
    """One encoded picture: its size in pixels, and its file name under `pictures/` on the site."""

    width: int
    height: int
    name: str
    digest: str = ""
    """SHA-256 of its file, in hexadecimal; empty until the picture is made."""


@dataclass(frozen=True)
class Candidates:
    """The pictures of one photo in one format, narrowest first: the content of a `srcset`."""

    mime: str
    sizes: tuple[Candidate, ...]


@dataclass(frozen=True)
class Picture:
    """Everything that a page needs to show one photo."""

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

    @property
    def digest(self) -> str:
        """SHA-256 of the largest picture's file, in hexadecimal: it identifies what was published of the photo."""
        return self.full.digest

    def all(self) -> tuple[Candidate, ...]:
        """Return all pictures made of this photo."""
        return (*(size for source in self.sources for size in source.sizes), self.fallback, self.full)

    def names(self) -> tuple[str, ...]:
        """Return the file names of all pictures made of this photo."""
        return tuple(each.name for each in self.all())


@dataclass(frozen=True)
class Pictures:
    """The pictures of a store, and the cache folder that holds their files, each named by its SHA-256."""

    folder: Path
    by_photo: Mapping[tuple[str, str], Picture]

    @classmethod
    def of_one(cls, stock: str, by_file: Mapping[str, Picture]) -> Pictures:
        """Return the pictures of one vehicle, for code that does not read their files."""
        return cls(Path(), {(stock, file): picture for file, picture in by_file.items()})

    def of(self, stock: str, file: str) -> Picture:
        """Return the pictures of one photo, by the vehicle's stock number and the file as its record names it."""
        return self.by_photo[stock, file]

    def of_vehicle(self, stock: str) -> Mapping[str, Picture]:
        """Return the pictures of all photos of a vehicle, by file. The mapping is empty if it has no photo."""
        return self._by_vehicle.get(stock, {})

    @cached_property
    def _by_vehicle(self) -> Mapping[str, Mapping[str, Picture]]:
        by_vehicle: dict[str, dict[str, Picture]] = {}
        for (stock, file), picture in sorted(self.by_photo.items(), key=lambda item: item[0]):
            by_vehicle.setdefault(stock, {})[file] = picture
        return by_vehicle

    def files(self) -> Mapping[str, Path]:
        """Return the path in the cache of each picture's file, by its published name."""
        return {each.name: self.folder / each.digest for picture in self.by_photo.values() for each in picture.all()}
