"""Write visits: small dated files in a vehicle's folder. Each is tried with all other files before it is kept."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any

import yaml

from sitegen import disk
from sitegen.reading.store import read_vehicle_alone
from sitegen.reading.vehicle_files import INSPECTION
from sitegen.reading.visits import VISITS
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import SiteSettings

Plain = Mapping[str, Any]


class _Dumper(yaml.SafeDumper):
    """Writes YAML as this program reads it: by the core schema of YAML 1.2, so that days need no quotes."""

    yaml_implicit_resolvers: dict[str, Any] = {}  # noqa: RUF012  # as the base class has it


_Dumper.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile("^(true|false)$"), list("tf"))
_Dumper.add_implicit_resolver("tag:yaml.org,2002:null", re.compile("^(~|null|)$"), ["~", "n", ""])
_Dumper.add_implicit_resolver("tag:yaml.org,2002:int", re.compile("^-?[0-9]+$"), list("-0123456789"))
_Dumper.add_implicit_resolver("tag:yaml.org,2002:float", re.compile("^-?[0-9]*[.][0-9]+$"), list("-.0123456789"))


@dataclass(frozen=True)
class PutIn:
    """The result of trying to add a visit to a vehicle's folder."""

    problems: tuple[Problem, ...]
    """All problems of the vehicle with the visit, warnings included."""
    name: str | None
    """File name of the visit without its ending. None if it was not added."""
    is_new: bool = True
    """Whether the visit was not there already."""


_ORIGIN = "# Taken in from a zip with the SHA-256 "


def visit_text(values: Plain, digest: str = "") -> str:
    """Return the text of a visit's file. Its first line names the zip that it came from by its digest, if given."""
    text: str = yaml.dump(dict(values), Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=116)
    return f"{_ORIGIN}{digest}\n{text}" if digest else text


def _is_same(file: Path, text: str) -> bool:
    """Return whether a visit's file came from the same zip as a text, or states the same."""
    known = file.read_text("utf-8", errors="replace")
    origin, new_origin = _origin(known), _origin(text)
    return bool(new_origin and origin == new_origin) or known.removeprefix(origin) == text.removeprefix(new_origin)


def _origin(text: str) -> str:
    """Return the first line of a visit's file if it names the zip that it came from, or an empty text."""
    return text[: text.index("\n") + 1] if text.startswith(_ORIGIN) and "\n" in text else ""


def name_of_moment(moment: date | datetime) -> str:
    """Return the file name for a visit: its day, and its time if it has one (2026-10-15-1412)."""
    return moment.strftime("%Y-%m-%d-%H%M") if isinstance(moment, datetime) else moment.isoformat()


def put_in(
    vehicle: Path,
    name: str,
    text: str,
    files: Mapping[str, Path],
    room: Path,
    called: str,
    settings: SiteSettings,
    today: date,
) -> PutIn:
    """Add a visit with its photos and clips to a vehicle's folder, or change nothing if there would be an error.

    `files` maps new paths in the vehicle's folder to files, and `room` is an empty folder on the same disk. `called`
    names the visit's file in messages. The caller holds the lock. Raises OSError after removing what was written.
    """
    there = vehicle / VISITS
    same = [file.stem for file in sorted(there.glob(f"{name}*.yaml")) if _is_same(file, text)]
    if same:
        return PutIn((), same[0], is_new=False)
    free = _free(there, name)
    trial = room / vehicle.name
    shutil.copytree(vehicle, trial, copy_function=_linked)
    (trial / VISITS).mkdir(exist_ok=True)
    (trial / VISITS / f"{free}.yaml").write_text(text, "utf-8", newline="\n")
    for path, file in files.items():
        (trial / path).parent.mkdir(exist_ok=True)
        if not (trial / path).exists():
            _linked(str(file), str(trial / path))
    shown_in = f"vehicles/{vehicle.name}"
    record, problems = read_vehicle_alone(trial, f"{shown_in}/{INSPECTION}", settings, today)
    own_file = f"{shown_in}/{VISITS}/{free}.yaml"
    told = tuple(
        Problem(**{**vars(problem), "file": called}) if problem.file == own_file else problem for problem in problems
    )
    if record is None:
        return PutIn(tuple(problem for problem in told if problem.severity is Severity.ERROR), None)
    _write(vehicle, free, text, files)
    return PutIn(tuple(problem for problem in told if problem.file == called), free)


def _free(folder: Path, name: str) -> str:
    """Return the name, with a number after it if it is taken."""
    number, free = 1, name
    while (folder / f"{free}.yaml").exists():
        number += 1
        free = f"{name}-{number:02}"
    return free


def _linked(source: str, target: str) -> None:
    """Hard-link a file, or copy it where the file system has no hard links. Nothing writes to it afterwards."""
    try:
        os.link(source, target)
    except OSError:
        shutil.copy2(source, target)


def _write(vehicle: Path, name: str, text: str, files: Mapping[str, Path]) -> None:
    """Write photos and clips first, then the visit in one step. Raises OSError, after removing what was written."""
    made: list[Path] = []
    try:
        for path, given in files.items():
            target = vehicle / path
            target.parent.mkdir(exist_ok=True)
            if not target.exists():
                made.append(target)
                disk.copy_whole(given, target)
        file = vehicle / VISITS / f"{name}.yaml"
        file.parent.mkdir(exist_ok=True)
        disk.flush(vehicle)
        disk.write_whole(file, text.encode("utf-8"), lasting=True)
    except OSError:
        for file in made:
            file.unlink(missing_ok=True)
        raise
