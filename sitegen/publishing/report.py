"""Write the report of a build: files to upload to a host, and files to delete there and from caches.

A build deletes the previous report before anything else, so that nobody uploads by an outdated one.
"""

from __future__ import annotations

import json
from collections.abc import Collection
from pathlib import Path

from sitegen.disk import write_whole


def report_refusal(file: Path, sites: Collection[Path]) -> str | None:
    """Return why no report may be written to this file, or None if it may.

    `sites` are the published folders: a report inside one would be published too. The file must not exist yet, or
    must be a report.
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
    """Write the lists of files to upload and to delete. The file is written whole or not at all."""
    report = {
        "folder": str(folder),
        "changed": list(changed),
        "removed": list(removed),
        "left_out": sorted(left_out),
    }
    write_whole(file, f"{json.dumps(report, ensure_ascii=False, indent=1)}\n".encode())


def _is_report(file: Path) -> bool:
    """Return whether a file is a report, or is empty."""
    if not file.is_file():
        return False
    content = file.read_bytes()
    try:
        report = json.loads(content) if content else {"changed": [], "removed": []}
    except (ValueError, RecursionError):
        return False
    return isinstance(report, dict) and {"changed", "removed"} <= report.keys()
