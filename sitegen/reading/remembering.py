"""What was read of a vehicle before, and found right: taken as it was while nothing has changed that it rests on.

Reading writes nothing else, so whoever reads gives the memory. A vehicle with an error is read anew each time, and
one with a film too, whose bytes are looked at anyway.
"""

from __future__ import annotations

import io
import pickle
from dataclasses import dataclass
from datetime import date
from functools import cache
from hashlib import sha256
from importlib import import_module
from pathlib import Path
from stat import S_ISREG
from typing import Any

from sitegen.memory import BuildMemory
from sitegen.reading.checks.named_files import photo_files
from sitegen.reading.checks.sheet import Standards
from sitegen.reading.earlier_inspections import INSPECTIONS
from sitegen.reading.yaml.files import LARGEST
from sitegen.records.problems import Problem
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class ReadBefore:
    """A record, and the problems that its own files gave rise to: of what is remembered, warnings alone."""

    record: VehicleRecord
    problems: tuple[Problem, ...]
    day: date
    """On which it was held against the calendar: what is right on a day is right on each later one of its year."""


def recall(memory: BuildMemory, name: str, sources: str, today: date) -> ReadBefore | None:
    """Return what is remembered of a vehicle's folder, if it holds today."""
    kept = memory.recall(name, sources)
    try:
        known = None if kept is None else unpacked(kept)
    except pickle.UnpicklingError:  # none of ours, and nothing of it was run
        return None
    return known if known is not None and known.day <= today else None


def packed(read: ReadBefore) -> bytes:
    """Return what was read as bytes, to be remembered or handed on."""
    return pickle.dumps(read, protocol=5)


def unpacked(read: bytes) -> ReadBefore:
    """Return what was packed. Raises UnpicklingError for anything else."""
    known = _Records(io.BytesIO(read)).load()
    if not isinstance(known, ReadBefore):
        raise pickle.UnpicklingError("no record")
    return known


def digest_of_files(folder: Path, inspection: Path, settings: SiteSettings | None, standards: Standards) -> str:
    """Return the SHA-256 of all that a vehicle's record and its problems rest on, but for code and reference figures.

    These are the bytes of its inspections, the names of its other files, what the settings say of money, places and
    region, and the year, by which an old vehicle needs no statement of its odometer.
    """
    asked = None if settings is None else (settings.currency, settings.locations)
    there = [sorted(photo_files(folder / part).items()) for part in ("photos", "video")]
    together = sha256(repr((folder.name, asked, standards.region, standards.today.year, there)).encode())
    for file in (inspection, *sorted((folder / INSPECTIONS).glob("*.yaml"))):
        content = _content(file)
        together.update(f"{file.name}\0{len(content)}\0".encode() + content)
    return together.hexdigest()


def _content(file: Path) -> bytes:
    """Return the bytes of a file; none of one that is refused for what it is."""
    try:
        status = file.stat()
        return file.read_bytes() if S_ISREG(status.st_mode) and status.st_size <= LARGEST else b""
    except OSError:
        return b""


class _Records(pickle.Unpickler):
    """Reads records, and refuses all else: a pickle can ask for anything to be run."""

    def find_class(self, module: str, name: str) -> Any:
        """Return a class of records, or one of the plain values in them. Raises UnpicklingError."""
        return _class_in_records(module, name)


@cache
def _class_in_records(module: str, name: str) -> type:
    found = getattr(import_module(module), name, None) if _may_be_in(module, name) else None
    if not isinstance(found, type) or found.__module__ != module:
        raise pickle.UnpicklingError(f"{module}.{name} is in no record")
    return found


_PLAIN = {("datetime", "date"), ("decimal", "Decimal"), ("fractions", "Fraction"), (__name__, ReadBefore.__name__)}


def _may_be_in(module: str, name: str) -> bool:
    return (module, name) in _PLAIN or (module.startswith("sitegen.records.") and "." not in name)
