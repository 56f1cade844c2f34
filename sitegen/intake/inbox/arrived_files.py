"""Find the zips in the inbox that have arrived whole, and read the vehicle and the moment of each.

File syncs write in parts. A zip has arrived if every entry's checksum is right (APPNOTE.TXT 4.3.2, 4.4.7) and its
size and times have not changed for some seconds.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any
from zipfile import BadZipFile, ZipFile

import yaml

from sitegen.intake.zips.unpacking import LARGEST_ZIP, MOST_BYTES, MOST_ENTRIES
from sitegen.reading.vehicle_files import INSPECTION

STILL_FOR = 4.0
"""Seconds for which a file must not have changed."""
GIVE_UP_AFTER = 900.0
"""Seconds after which a file that does not change and is not whole counts as cut short."""
_LARGEST_RECORD = 2_000_000
_VISIT = re.compile(r"vehicles/([A-Za-z0-9-]{1,40})/visits/[^/]+\.yaml", re.ASCII)
_DAMAGED = (BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError, OverflowError, OSError)


@dataclass(frozen=True)
class ArrivedFile:
    """A whole zip in the inbox. What cannot be read of it is empty; taking it in then says why."""

    path: Path
    stock: str = ""
    is_visit: bool = False
    on: str = ""
    """Day or moment of its visit, or day of its first inspection, in ISO 8601."""
    by: str = ""

    @property
    def order(self) -> tuple[str, bool, str, str]:
        """Return the sort key: day, first inspections before visits, time, name. No day comes last."""
        return self.on[:10] or "9999", self.is_visit, self.on[10:], self.path.name


def find_arrived(
    folder: Path, pause: Callable[[float], None], still_for: float = STILL_FOR
) -> tuple[list[ArrivedFile], list[tuple[Path, bool]]]:
    """Return the whole zips of a folder in the order of their moments, and the files that have not arrived.

    The second list says of each file whether it can be given up. `pause` waits for a number of seconds; it is called
    at most once, if a file looks whole and was changed a moment ago.
    """
    before = {path: _state(path) for path in _zips(folder)}
    whole = {path for path in before if _is_whole(path)}
    if still_for and any(_age(path) < still_for for path in whole):
        pause(still_for)
    arrived, partial = [], []
    for path, state in before.items():
        if path in whole and _state(path) == state:
            arrived.append(_look_into(path))
        elif path.exists():
            partial.append((path, path not in whole and _age(path) > GIVE_UP_AFTER))
    return sorted(arrived, key=lambda file: file.order), partial


def _zips(folder: Path) -> Iterator[Path]:
    for path in sorted(folder.iterdir()):
        is_temporary = path.name.startswith((".", "~"))
        if path.suffix.lower() == ".zip" and not is_temporary and path.is_file() and not path.is_symlink():
            yield path


def _state(path: Path) -> tuple[int, ...]:
    try:
        status = path.stat()
    except OSError:
        return ()
    return status.st_size, status.st_mtime_ns, status.st_ctime_ns, status.st_ino


def _age(path: Path) -> float:
    """Return the seconds since a file last changed, by the clock of this computer. A future time counts as now."""
    try:
        status = path.stat()
    except OSError:
        return 0.0
    return max(0.0, datetime.now().timestamp() - max(status.st_mtime, status.st_ctime))


def _is_whole(path: Path) -> bool:
    """Return whether a zip's directory and all of its entries can be read.

    A zip that is too large, or would unpack to too much, counts as whole, so that taking it in refuses it.
    """
    try:
        if path.stat().st_size > LARGEST_ZIP:
            return True
        with ZipFile(path) as archive:
            entries = archive.infolist()
            is_huge = len(entries) > MOST_ENTRIES or sum(entry.file_size for entry in entries) > MOST_BYTES
            is_locked = any(entry.flag_bits & 1 for entry in entries)
            return is_huge or is_locked or archive.testzip() is None
    except _DAMAGED:
        return False


def _look_into(path: Path) -> ArrivedFile:
    """Return whose a zip is and its moment, as far as its record can be read."""
    try:
        with ZipFile(path) as archive:
            names = archive.namelist()
            visit = next((match for name in names if (match := _VISIT.fullmatch(name))), None)
            name = visit[0] if visit else INSPECTION
            if name not in names or archive.getinfo(name).file_size > _LARGEST_RECORD:
                return ArrivedFile(path)
            values = yaml.load(archive.read(name), yaml.BaseLoader)  # all values as texts
    except (*_DAMAGED, yaml.YAMLError, RecursionError):
        return ArrivedFile(path)
    if not isinstance(values, dict):
        return ArrivedFile(path)
    if visit:
        return ArrivedFile(path, visit[1], True, _text(values.get("on")), _text(values.get("by")))
    look = values.get("inspection")
    look = look if isinstance(look, dict) else {}
    return ArrivedFile(path, _text(values.get("stock")), False, _text(look.get("done_on")), _text(look.get("by")))


def _text(value: Any) -> str:
    """Return a short text, or the first one of several languages. Anything else is empty."""
    if isinstance(value, dict):
        value = next(iter(value.values()), "")
    return value[:200] if isinstance(value, str) else ""
