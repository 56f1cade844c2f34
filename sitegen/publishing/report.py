"""The report of a build: which files are to be sent to a host, and which taken away there and out of caches.

Whoever sends by it must never find the one of an earlier build, so a build takes that away before anything else.
"""

from __future__ import annotations

import json
from collections.abc import Collection
from pathlib import Path

from sitegen.disk import write_whole


def why_no_report(file: Path, sites: Collection[Path]) -> str | None:
    """Say why no report may go there; None where it may.

    `sites` are the folders that are published: whoever copies one would send the report too. Nor may it take the
    place of anything but a report.
    """
    if not file.parent.is_dir():
        return f"there is no folder {file.parent} for the report"
    for site in sites:
        if file.resolve().is_relative_to(site.resolve()):
            return f"{file} is in {site}, which is published: name a place outside of it with --report"
    if file.exists() and not _is_report(file):
        return f"{file} is there already and is no report of a build: name another place with --report"
    return None


def write_report(
    folder: Path, changed: Collection[str], removed: Collection[str], left_out: Collection[str], file: Path
) -> None:
    """Write what is to be sent, and what to be taken away; whole or not at all."""
    told = {
        "folder": str(folder),
        "changed": list(changed),
        "removed": list(removed),
        "left_out": sorted(left_out),
    }
    write_whole(file, f"{json.dumps(told, ensure_ascii=False, indent=1)}\n".encode())


def _is_report(file: Path) -> bool:
    """Tell whether a file is one that was written here, or holds nothing yet."""
    if not file.is_file():
        return False
    content = file.read_bytes()
    try:
        told = json.loads(content) if content else {"changed": [], "removed": []}
    except (ValueError, RecursionError):
        return False
    return isinstance(told, dict) and {"changed", "removed"} <= told.keys()
