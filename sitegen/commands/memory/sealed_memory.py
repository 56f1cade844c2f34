"""What earlier builds made, in the store's `.cache/`: a file for each thing, in a folder for each kind.

Each is known by the digest of all that it was made from, and carries one of its own. What is damaged, of another
version or not to be read is as if it had never been kept: all of it can be thrown away at any time.
"""

from __future__ import annotations

import shutil
import sys
import zlib
from collections.abc import Callable, Collection, Iterable
from contextlib import suppress
from functools import cache, partial
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path

from sitegen.disk import half_of
from sitegen.shared_data import ThemeFolders, content_folder

CODE = Path(__file__).resolve().parents[2]
WRITERS = ("babel", "jinja2", "markdown", "markupsafe", "nh3", "pydantic", "pyyaml", "rfc8785", "zxing-cpp")
"""Packages that have a hand in what is kept."""


class SealedMemory:
    """One folder of things. It is made before what they are made by is read; `settle` ends its use.

    The name of what a vehicle has is its stock number, or begins with that and a dot.
    """

    def __init__(self, folder: Path, files: Callable[[], Iterable[Path]], *, packed: bool = False) -> None:
        """`files` are those that all of the things are made by, besides the program.

        What is `packed` when it comes is not packed once more.
        """
        self._folder, self._files, self._packed = folder, files, packed
        self._made_by = _digest(files(), _program_as_it_was())

    def knows(self, name: str) -> bool:
        """Return whether there is a cached value under a name, whether it is still valid or not."""
        return (self._folder / name).exists()

    def recall(self, name: str, sources: str) -> bytes | None:
        """Return what was kept under a name, if it was made from these sources by the same files and program."""
        try:
            known = (self._folder / name).read_bytes()
        except OSError:
            return None
        head, made = known[:64], known[64:]
        if head != _seal(self._made_by + sources, made):
            return None
        return made if self._packed else zlib.decompress(made)

    def keep(self, name: str, sources: str, made: bytes) -> None:
        """Keep what was made. It need not outlast a loss of power; where it cannot be written, it is not kept."""
        content = made if self._packed else zlib.compress(made, 1)
        target = self._folder / name
        half = half_of(target)
        with suppress(OSError):
            target.parent.mkdir(parents=True, exist_ok=True)
            half.write_bytes(_seal(self._made_by + sources, content) + content)
            half.replace(target)

    def settle(self, stocks: Collection[str] | None = None) -> None:
        """Forget all where what it is made by was changed meanwhile, and what belongs to no vehicle any more.

        Where the things are none of vehicles', `stocks` is None.
        """
        if _digest(self._files(), _program()) != self._made_by:
            shutil.rmtree(self._folder, ignore_errors=True)
        if stocks is None:
            return
        with suppress(OSError):
            for kept in self._folder.iterdir():
                if kept.name.partition(".")[0] not in stocks:
                    kept.unlink(missing_ok=True)


class RememberedPages:
    """What `pages` remembers by: a memory for each language."""

    def __init__(self, folder: Path, languages: Iterable[str], theme: ThemeFolders) -> None:
        self._folder = folder
        self._memories = {
            language: SealedMemory(folder / language, partial(_words, language, theme), packed=True)
            for language in languages
        }

    def recall(self, language: str, name: str, sources: str) -> bytes | None:
        """Return what was kept, if it was made from these sources by the same words, figures, theme and code."""
        return self._memories[language].recall(name, sources)

    def keep(self, language: str, name: str, sources: str, made: bytes) -> None:
        """Keep what was made from these sources."""
        self._memories[language].keep(name, sources, made)

    def settle(self, stocks: Collection[str]) -> None:
        """Forget what belongs to no vehicle or language any more."""
        for memory in self._memories.values():
            memory.settle(stocks)
        with suppress(OSError):
            for entry in self._folder.iterdir():
                if entry.name not in self._memories:
                    shutil.rmtree(entry, ignore_errors=True)


def remembered_records(folder: Path) -> SealedMemory:
    """Return the memory of records that were read, and of what the gate said of them."""
    return SealedMemory(folder, partial(_files_in, "reference"))


def remembered_templates(folder: Path) -> SealedMemory:
    """Return the memory of what templates compile to, which hangs on their text and the program alone."""
    return SealedMemory(folder, tuple)


def _words(language: str, theme: ThemeFolders) -> Iterable[Path]:
    """Return what pages are made by: words of a language, reference figures and theme."""
    return (*_files_in(language, "reference"), *theme.files().values())


def _files_in(*parts: str) -> list[Path]:
    return sorted(path for part in parts for path in (content_folder() / part).rglob("*") if path.is_file())


def _seal(key: str, made: bytes) -> bytes:
    return sha256(key.encode() + made).hexdigest().encode()


def _program() -> str:
    """Return the digest of the program: its code, and the packages that it makes things with."""
    return _digest(sorted(CODE.rglob("*.py")), repr([sys.version, *_versions()]))


_program_as_it_was = cache(_program)
"""A program that runs stays as it was when it began, whatever becomes of its files."""


def _digest(files: Iterable[Path], told: str) -> str:
    together = sha256(told.encode())
    for path in files:
        content = path.read_bytes()
        together.update(f"{path}\0{len(content)}\0".encode() + content)
    return together.hexdigest()


@cache
def _versions() -> tuple[str, ...]:
    return tuple(f"{package} {version(package)}" for package in WRITERS)
