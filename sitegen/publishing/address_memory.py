"""Which addresses were ever published: what a link that was sent may lead to.

They are kept in the store's own folder, one page a line, and belong to what is backed up with it: the cache may be
thrown away at any time. The marker of the published folder names them too, as long as a notice answers there.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from sitegen.publishing.marker import published_paths
from sitegen.publishing.staging import flush

FILE = "published-addresses.txt"
FIRST_LINE = "# Pages that were published once. Keep this file with the store: at each of them something answers."
PAGE = ".html"


def addresses_published(store: Path, to: Path) -> set[str]:
    """Return the paths of all pages that earlier builds published, to this folder or from this store."""
    pages = {path for path in published_paths(to) or () if path.endswith(PAGE)}
    return pages | _remembered(store / FILE)


def remember_addresses(store: Path, paths: Iterable[str]) -> None:
    """Remember the pages among the paths of a site that was published. The file is the old or the new one, whole."""
    file = store / FILE
    before = _remembered(file)
    now = before | {path for path in paths if path.endswith(PAGE)}
    if now == before:
        return
    fresh = store / f".{FILE}.{os.getpid()}"
    fresh.write_text("\n".join([FIRST_LINE, *sorted(now), ""]), "utf-8", newline="\n")
    flush(fresh)
    fresh.replace(file)
    flush(store)


def _remembered(file: Path) -> set[str]:
    """Return the pages that a file lists. Lines that name no page of a site are passed over: anybody may edit it."""
    try:
        lines = file.read_text("utf-8", errors="replace").splitlines()
    except FileNotFoundError:
        return set()
    pages = (line.strip() for line in lines if not line.startswith("#"))
    return {page for page in pages if page.endswith(PAGE) and ".." not in page.split("/") and page[0] != "/"}
