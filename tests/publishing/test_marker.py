"""Published and foreign files in a folder, compared with a walk by the standard library."""

from __future__ import annotations

import os
from pathlib import Path

from sitegen.pages.site import Site
from sitegen.publishing.marker import MARKER, has_foreign_files, is_published, published_pages, scan_folder
from sitegen.publishing.publication import publish
from tests.publishing.sites import TODAY

OURS = {"index.html": b"1", "vehicles/K900/index.html": b"2", "assets/a/b/style.css": b"3"}
THEIRS = ("CNAME", "vehicles/K900/theirs.txt", "own/deep/er/note.txt")


def published_to(folder: Path) -> Path:
    publish(Site(OURS), folder, TODAY)
    return folder


def test_published_and_foreign_files_are_distinguished_at_every_depth(tmp_path):
    to = published_to(tmp_path / "published")
    assert not has_foreign_files(to)
    for path in THEIRS:
        (to / path).parent.mkdir(parents=True, exist_ok=True)
        (to / path).write_bytes(b"")
    (to / "link").symlink_to(to / "vehicles")  # a folder by a link is one thing, and not looked into
    found = scan_folder(to)
    assert (set(found.ours), set(found.foreign)) == (set(OURS), {*THEIRS, "link"})
    walked = {str(Path(place, file).relative_to(to)) for place, _, files in os.walk(to) for file in files}
    assert found.ours | found.foreign | {MARKER, "link"} == walked | {"link"}
    assert has_foreign_files(to)
    assert published_pages(to) == {"index.html", "vehicles/K900/index.html"}


def test_a_path_is_published_if_listed_and_present(tmp_path):
    to = published_to(tmp_path / "published")
    (to / "theirs.html").write_bytes(b"")
    assert is_published(to, "index.html")
    assert not is_published(to, "theirs.html"), "somebody else's"
    (to / "index.html").unlink()
    assert not is_published(to, "index.html"), "taken away"
    (to / MARKER).unlink()
    assert not is_published(to, "vehicles/K900/index.html"), "no longer known as ours"


def test_a_missing_folder_has_no_contents(tmp_path):
    found = scan_folder(tmp_path / "none")
    assert (found.marker, found.ours, found.foreign) == (None, frozenset(), frozenset())
