"""Check whether a site may be published to a folder: before anything is built, and again before anything is written.

Files of others are never touched, and a mistyped `--to` is reported within a second.
"""

from __future__ import annotations

import errno
import os
from pathlib import Path

from sitegen.disk import NO_ROOM
from sitegen.publishing.marker import MARKER, has_foreign_files, read_marker
from sitegen.records.problems import Problem

_NO_MARKER = f"a site without the file {MARKER}, which says what of it sitegen published, and what is somebody else's"
_MEND_MARKER = (
    f"put {MARKER} back, as a backup or the host has it; or rename this folder and build again, for all is made "
    "anew, then put files of your own into the new one; nothing was touched"
)


def refusal_reason(to: Path, store: Path, own: Path) -> Problem | None:
    """Return why a store's site may not be published to a folder, or None. `own` is its default folder."""
    to, store = to.resolve(), store.resolve()
    mend = "name a folder of its own for the site with --to"
    if to == Path(to.anchor):
        return folder_problem(to, "the top of the disk", mend)
    if to == store or to in store.parents:
        return folder_problem(to, "a folder that holds the store itself", mend)
    if store in to.parents and to != own.resolve():
        return folder_problem(
            to, "a place inside the store", "leave --to out, or name a folder outside the store with it"
        )
    try:
        return ownership_problem(to)
    except OSError as fault:
        return problem_of_error(fault, to)


def ownership_problem(to: Path) -> Problem | None:
    """Return a problem if the folder holds files of others, or is not a folder; else None. Raises OSError."""
    if not to.exists():
        return None
    if not to.is_dir():
        return folder_problem(to, "a file where the site's folder should be", "name a folder with --to")
    if not os.access(to, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(to))
    if read_marker(to) is None and has_foreign_files(to):
        from sitegen.pages.frame.addresses import JSON_FILE  # slow import of all records, rarely needed here

        if (to / JSON_FILE).is_file():
            return folder_problem(to, _NO_MARKER, _MEND_MARKER)
        found = "a folder with files in it that sitegen did not publish"
        return folder_problem(to, found, "name an empty or a new folder with --to; nothing in this one was touched")
    return None


def problem_of_error(fault: OSError, to: Path) -> Problem:
    """Return the problem for an operating system error, with advice for the person who can resolve it."""
    untouched = "the published site is unchanged"
    if fault.errno in NO_ROOM:
        return folder_problem(to, "no room left on the disk", f"make room and build again; {untouched}")
    if fault.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        mend = f"allow writing to it, or name another folder with --to; {untouched}"
        return folder_problem(to, "a folder that we may not write to", mend)
    place = f" ({fault.filename})" if fault.filename else ""
    return folder_problem(to, f"{fault.strerror}{place}", f"mend this and build again; {untouched}")


def folder_problem(place: Path, found: str, mend: str) -> Problem:
    """Return the problem of a folder to which the site cannot be published."""
    return Problem(str(place), 0, 0, "", found, "a folder that the site can be published to", mend)
