"""The identity of this program on a machine: digests of its files, and versions of Python and of required packages.

Stored results are valid for one program only, and the workers of a cluster must run the same one.
"""

from __future__ import annotations

import re
import sys
import tomllib
from collections.abc import Iterator, Mapping
from contextlib import suppress
from functools import cache
from hashlib import sha256
from importlib import metadata
from pathlib import Path

from sitegen.engine.file_states import digest_of
from sitegen.shared_data import content_folder, themes_folder

PROGRAM = Path(__file__).resolve().parents[1]


@cache
def digest_of_program() -> str:
    """Return the digest of this program's code, of Python, and of the versions of the packages that it requires."""
    return sha256(repr(sorted({**_versions(), **_files(PROGRAM, "*.py")}.items())).encode()).hexdigest()


def program_identity() -> dict[str, str]:
    """Return the digest of each file of the program and its data, and the versions, by their names in messages."""
    data = {**_files(content_folder(), "*"), **_files(themes_folder(), "*")}
    return {**_versions(), **_files(PROGRAM, "*.py"), **data}


def first_difference(here: Mapping[str, str], there: Mapping[str, str]) -> str | None:
    """Return how a worker's program differs from this one, such as `lacks content/en/bay.po`; None if it does not."""
    for name in sorted(here.keys() | there.keys()):
        if name not in there:
            return f"lacks {name}"
        if name not in here:
            return f"has {name}, which this machine lacks"
        if here[name] != there[name]:
            return f"has another {name}" if "/" in name else f"has {name} {there[name]} and not {here[name]}"
    return None


def _files(folder: Path, pattern: str) -> dict[str, str]:
    found = {}
    for file in folder.rglob(pattern):
        if file.is_file() and "__pycache__" not in file.parts:
            with suppress(OSError):
                found[f"{folder.name}/{file.relative_to(folder).as_posix()}"] = digest_of(file)
    return found


def _versions() -> dict[str, str]:
    required = {_normal(re.split(r"[^\w.-]", each)[0]) for each in _requirements()}
    versions = {"Python": sys.version.split()[0]}
    for place in reversed(sys.path):  # what comes first is what is imported
        for info in Path(place).glob("*.dist-info") if place and Path(place).is_dir() else ():
            name, _, version = info.name.removesuffix(".dist-info").partition("-")
            if _normal(name) in required:
                versions[_normal(name)] = version
    return versions


def _requirements() -> Iterator[str]:
    """Yield the requirements of this program, as the installed package or its source tree states them."""
    try:
        listed = metadata.requires("sitegen") or []
    except metadata.PackageNotFoundError:
        source = PROGRAM.parent / "pyproject.toml"
        listed = tomllib.loads(source.read_text("utf-8"))["project"]["dependencies"] if source.is_file() else []
    yield from (each for each in listed if "extra ==" not in each)


def _normal(name: str) -> str:
    """Return the name of a package as the Python Packaging User Guide normalizes names."""
    return re.sub(r"[-_.]+", "-", name).lower()
