"""The pages of earlier builds, in the store's `.cache/pages/`: a file for each vehicle in each language.

Each is known by the digest of all that it was made from, and carries one of its own. What is damaged, of another
version or not to be read is as if it had never been kept: all of it can be thrown away at any time.
"""

from __future__ import annotations

import shutil
import sys
import zlib
from collections.abc import Collection, Iterable
from contextlib import suppress
from functools import cache
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path

from sitegen.disk import half_of
from sitegen.shared_data import ThemeFolders, content_folder

CODE = Path(__file__).resolve().parents[2]
WRITERS = ("babel", "jinja2", "markdown", "markupsafe", "nh3", "pydantic", "segno")
"""Packages that have a hand in the bytes of a page."""


class RememberedPages:
    """What `pages` remembers by. It is made before words, figures and theme are read; `settle` ends a composing."""

    def __init__(self, folder: Path, languages: Iterable[str], theme: ThemeFolders) -> None:
        self._folder, self._theme = folder, theme
        self._made_by = {language: _made_by(language, theme) for language in languages}
        self._kept: list[Path] = []

    def recall(self, language: str, stock: str, sources: str) -> bytes | None:
        """Return what was kept of a vehicle, if it was made from these sources by the same words, theme and code."""
        try:
            known = (self._folder / language / stock).read_bytes()
        except OSError:
            return None
        head, made = known[:64], known[64:]
        if head != _seal(self._made_by[language] + sources, made):
            return None
        return zlib.decompress(made)

    def keep(self, language: str, stock: str, sources: str, made: bytes) -> None:
        """Keep what was made. It need not outlast a loss of power; where it cannot be written, it is not kept."""
        packed = zlib.compress(made, 1)
        target = self._folder / language / stock
        half = half_of(target)
        with suppress(OSError):
            target.parent.mkdir(parents=True, exist_ok=True)
            half.write_bytes(_seal(self._made_by[language] + sources, packed) + packed)
            half.replace(target)
            self._kept.append(target)

    def settle(self, stocks: Collection[str]) -> None:
        """Forget what belongs to no vehicle any more, and what was made while words, theme or code were changed."""
        if any(_made_by(language, self._theme) != before for language, before in self._made_by.items()):
            for target in self._kept:
                target.unlink(missing_ok=True)
        with suppress(OSError):
            for entry in self._folder.iterdir():
                if entry.name not in self._made_by:
                    shutil.rmtree(entry, ignore_errors=True)
                    continue
                for kept in entry.iterdir():
                    if kept.name not in stocks:
                        kept.unlink(missing_ok=True)


def _seal(key: str, made: bytes) -> bytes:
    return sha256(key.encode() + made).hexdigest().encode()


def _made_by(language: str, theme: ThemeFolders) -> str:
    """Return the digest of what pages are made by: words of a language, reference figures, theme and code."""
    content = content_folder()
    words = (path for part in (language, "reference") for path in (content / part).rglob("*") if path.is_file())
    files = (*sorted(words), *theme.files().values(), *sorted(CODE.rglob("*.py")))
    return _digest(files, [sys.version, *_versions()])


@cache
def _versions() -> tuple[str, ...]:
    return tuple(f"{package} {version(package)}" for package in WRITERS)


def _digest(files: Iterable[Path], told: Iterable[str]) -> str:
    together = sha256(repr(list(told)).encode())
    for path in files:
        content = path.read_bytes()
        together.update(f"{path}\0{len(content)}\0".encode() + content)
    return together.hexdigest()
