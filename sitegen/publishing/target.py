"""May a site go to this folder? Asked before anything is made, and again before anything is written.

What somebody else put there is never touched, and a mistyped `--to` costs a second, not a site.
"""

from __future__ import annotations

import errno
import os
from pathlib import Path

from sitegen.disk import NO_ROOM
from sitegen.publishing.marker import MARKER, has_strangers, read_marker
from sitegen.records.problems import Problem

_NO_MARKER = f"a site without the file {MARKER}, which says what of it sitegen published, and what is somebody else's"
_MEND_MARKER = (
    f"put {MARKER} back, as a backup or the host has it; or rename this folder and build again, for all is made "
    "anew, then put files of your own into the new one; nothing was touched"
)


def why_not(to: Path, store: Path, own: Path) -> Problem | None:
    """Return why no site of a store may go to a folder, whatever it holds. `own` is its place in the store."""
    to, store = to.resolve(), store.resolve()
    mend = "name a folder of its own for the site with --to"
    if to == Path(to.anchor):
        return refused(to, "the top of the disk", mend)
    if to == store or to in store.parents:
        return refused(to, "a folder that holds the store itself", mend)
    if store in to.parents and to != own.resolve():
        return refused(to, "a place inside the store", "leave --to out, or name a folder outside the store with it")
    try:
        return not_ours(to)
    except OSError as fault:
        return explained(fault, to)


def not_ours(to: Path) -> Problem | None:
    """Return a problem if a folder holds what somebody else put there, or is none. Raises OSError."""
    if not to.exists():
        return None
    if not to.is_dir():
        return refused(to, "a file where the site's folder should be", "name a folder with --to")
    if not os.access(to, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(to))
    if read_marker(to) is None and has_strangers(to):
        from sitegen.pages.frame.addresses import JSON_FILE  # loads all of records, which seldom is needed here

        if (to / JSON_FILE).is_file():
            return refused(to, _NO_MARKER, _MEND_MARKER)
        found = "a folder with files in it that sitegen did not publish"
        return refused(to, found, "name an empty or a new folder with --to; nothing in this one was touched")
    return None


def explained(fault: OSError, to: Path) -> Problem:
    """Say what stood in the way in the words of the person who has to clear it."""
    untouched = "the site that was there is still there, whole"
    if fault.errno in NO_ROOM:
        return refused(to, "no room left on the disk", f"make room and build again; {untouched}")
    if fault.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        mend = f"allow writing to it, or name another folder with --to; {untouched}"
        return refused(to, "a folder that we may not write to", mend)
    place = f" ({fault.filename})" if fault.filename else ""
    return refused(to, f"{fault.strerror}{place}", f"mend this and build again; {untouched}")


def refused(place: Path, found: str, mend: str) -> Problem:
    """Return the problem of a place to which the site cannot go."""
    return Problem(str(place), 0, 0, "", found, "a folder that the site can be published to", mend)
