"""Files that a publication writes, keeps, links, removes and refuses to overwrite."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import pytest

from sitegen.pages.site import Site
from sitegen.publishing.marker import FIRST_LINE, digest_of, published_paths
from sitegen.publishing.publication import Published, publish
from sitegen.records.problems import Problem
from tests.publishing.sites import TODAY, a_site, versions_of_whole_site


def everything(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    made = tmp_path / "made.jpg"
    made.write_bytes(b"picture")
    return made


def test_a_publication_holds_exactly_the_site_and_its_marker(tmp_path, picture):
    site = a_site("1", range(1, 3), picture)
    published = publish(site, tmp_path / "published", TODAY)
    assert published == Published((tmp_path / "published").resolve(), tuple(site.paths()), 0, ())
    found = everything(tmp_path / "published")
    marker = found.pop(".sitegen").decode()
    assert published_paths(tmp_path / "published") == set(site.paths())
    assert found == {**site.pages, "pictures/front.jpg": b"picture"}
    assert not any(word in marker for word in ("/", "index", "K1")), "it is served, and would give pages away"


def test_the_same_site_published_twice_is_the_same_bytes(tmp_path, picture):
    for name in ("one", "other"):
        publish(a_site("1", range(1, 3), picture), tmp_path / name, TODAY)
    assert everything(tmp_path / "one") == everything(tmp_path / "other")


def test_unchanged_files_keep_their_time_and_dropped_files_are_deleted(tmp_path, picture):
    """Tools that copy by size and time then send only changed files."""
    to = tmp_path / "published"
    publish(
        Site({"index.html": b"old", "about/index.html": b"same", "gone/index.html": b""}, {"p.jpg": picture}),
        to,
        TODAY,
    )
    times = {path: path.stat().st_mtime_ns for path in (to / "about/index.html", to / "p.jpg")}
    picture.write_bytes(b"picture")  # made again: a new time, the same bytes
    published = publish(Site({"index.html": b"new", "about/index.html": b"same"}, {"p.jpg": picture}), to, TODAY)
    assert (published.changed, published.unchanged, published.removed) == (("index.html",), 2, ("gone/index.html",))
    assert {path: path.stat().st_mtime_ns for path in times} == times
    assert (to / "index.html").read_bytes() == b"new"
    assert not (to / "gone").exists()


def test_a_cached_picture_is_hard_linked_and_a_video_is_copied(tmp_path):
    """A picture takes space once. A video is copied, so that nothing done to the published one affects the store.

    If the cache is on another file system, the picture is copied.
    """
    cache, film, to = tmp_path / "pictures", tmp_path / "walk.mp4", tmp_path / "published"
    cache.mkdir()
    (cache / "p.jpg").write_bytes(b"picture")
    film.write_bytes(b"film")
    site = Site({"index.html": b""}, {"p.jpg": cache / "p.jpg", "walk.mp4": film}, cache=cache)
    publish(Site(site.pages, site.files), to, TODAY)
    assert not (to / "p.jpg").samefile(cache / "p.jpg")
    for _ in ("of copies", "of itself"):
        publish(site, to, TODAY)
        (to / "index.html").write_text("scribbled over")  # else there is nothing to publish
    assert (to / "p.jpg").samefile(cache / "p.jpg")
    (to / "walk.mp4").write_bytes(b"squeezed")
    assert film.read_bytes() == b"film"


def test_a_video_that_changed_since_it_was_read_is_not_published(tmp_path):
    """Page and ledger contain the digest of the video that was read."""
    film, to = tmp_path / "walk.mp4", tmp_path / "published"
    film.write_bytes(b"film")
    read = {"walk.mp4": hashlib.sha256(b"film").hexdigest()}
    site = Site({"index.html": b""}, {"walk.mp4": film}, digests=read)
    assert isinstance(publish(site, to, TODAY), Published)
    film.write_bytes(b"other film")
    problem = publish(site, to, TODAY)
    assert isinstance(problem, Problem)
    assert f"found a file that changed while the site was made ({film});" in problem.as_line()
    assert (to / "walk.mp4").read_bytes() == b"film"


def test_published_files_are_readable_for_all_under_any_umask(tmp_path, picture):
    """A build with umask 077, which many systems set for root and for timers."""
    picture.chmod(0o600)
    usual = os.umask(0o077)
    try:
        for version in "12":  # a new folder, and one that takes the place of the last
            publish(a_site(version, range(2), picture), tmp_path / "published", TODAY)
    finally:
        os.umask(usual)
    places = [tmp_path / "published", *(tmp_path / "published").rglob("*")]
    assert {(place.is_dir(), place.stat().st_mode & 0o777) for place in places} == {(True, 0o755), (False, 0o644)}


def test_an_altered_published_file_is_restored(tmp_path):
    to = tmp_path / "published"
    publish(a_site("1", range(3)), to, TODAY)
    (to / "index.html").write_text("scribbled over")
    publish(a_site("1", range(3)), to, TODAY)
    assert versions_of_whole_site(to) == {"1"}


def test_a_folder_with_foreign_files_is_refused_and_unchanged(tmp_path):
    to = tmp_path / "documents"
    to.mkdir()
    (to / "letter.txt").write_text("dear")
    problem = publish(a_site("1", range(3)), to, TODAY)
    assert problem.as_line() == (
        f"{to}: found a folder with files in it that sitegen did not publish; expected a folder that the site can be "
        "published to; to mend, name an empty or a new folder with --to; nothing in this one was touched"
    )
    assert everything(to) == {"letter.txt": b"dear"}


def test_files_that_a_webmaster_keeps_beside_ours_stay(tmp_path):
    to = tmp_path / "published"
    publish(a_site("1", range(1, 4)), to, TODAY)
    (to / ".git").mkdir()
    (to / ".git" / "HEAD").write_text("ref")
    (to / "vehicles" / "K1" / "letter.txt").write_text("dear")
    (to / "current").symlink_to("vehicles")
    site = a_site("2", range(2, 4))
    gone = ("assets/style-1.css", "vehicles/K1/index.html")
    assert publish(site, to, TODAY) == Published(to.resolve(), tuple(site.paths()), unchanged=0, removed=gone)
    assert versions_of_whole_site(to) == {"2"}
    assert published_paths(to) == set(site.paths())
    assert (to / ".git" / "HEAD").read_text() == "ref"
    assert (to / "vehicles" / "K1" / "letter.txt").read_text() == "dear"
    assert (to / "current").is_symlink()
    assert not (to / "vehicles" / "K1" / "index.html").exists()


@pytest.mark.parametrize("theirs", ["vehicles/K9/index.html", "vehicles/K9"])
def test_a_foreign_file_at_an_address_that_the_site_needs_is_not_overwritten(tmp_path, theirs):
    to = tmp_path / "published"
    publish(a_site("1", range(3)), to, TODAY)
    (to / theirs).parent.mkdir(exist_ok=True)
    (to / theirs).write_text("theirs")
    problem = publish(a_site("2", range(3, 10)), to, TODAY)
    assert problem.file == str(to / theirs)
    assert problem.found == "a file that sitegen did not publish, at an address that the site needs"
    assert (to / theirs).read_text() == "theirs"
    assert (to / "vehicles/K1/index.html").read_bytes() == a_site("1", range(3)).pages["index.html"]


@pytest.mark.parametrize("first_line", ["A folder of mine.", "~"])
def test_a_marker_that_is_not_ours_does_not_make_a_folder_ours(tmp_path, first_line):
    (tmp_path / ".sitegen").write_text(f"{first_line}\n{digest_of('letter.txt')}\n")
    (tmp_path / "letter.txt").write_text("dear")
    found = publish(a_site("1", range(3)), tmp_path, TODAY).found
    assert found == "a folder with files in it that sitegen did not publish"
    assert (tmp_path / "letter.txt").read_text() == "dear"


def test_a_folder_published_before_the_marker_held_digests_is_still_ours(tmp_path):
    to = tmp_path / "published"
    publish(a_site("1", range(1, 4)), to, TODAY)
    (to / ".sitegen").write_text("\n".join([FIRST_LINE, *a_site("1", range(1, 4)).paths(), ""]))
    assert "vehicles/K1/index.html" in publish(a_site("2", range(2, 4)), to, TODAY).removed
    assert versions_of_whole_site(to) == {"2"}


def test_missing_parent_folders_are_created(tmp_path):
    publish(a_site("1", range(3)), tmp_path / "a" / "b" / "published", TODAY)
    assert versions_of_whole_site(tmp_path / "a" / "b" / "published") == {"1"}


def test_the_first_of_several_conflicting_files_is_named(tmp_path):
    to = tmp_path / "published"
    publish(a_site("1", range(3)), to, TODAY)
    for name in ("K5", "K4"):
        (to / "vehicles" / name).write_text("theirs")
    assert publish(a_site("2", range(3, 10)), to, TODAY).file == str(to / "vehicles" / "K4")


def test_a_deleted_published_file_is_published_again(tmp_path):
    to = tmp_path / "published"
    publish(a_site("1", range(3)), to, TODAY)
    (to / "vehicles/K1/index.html").unlink()
    assert publish(a_site("1", range(3)), to, TODAY).changed == ("vehicles/K1/index.html",)
    assert versions_of_whole_site(to) == {"1"}


def test_a_site_without_a_file_makes_its_folder(tmp_path):
    publish(Site({}), tmp_path / "published", TODAY)
    assert set(everything(tmp_path / "published")) == {".sitegen"}


def test_removing_a_single_page_is_a_publication(tmp_path):
    pages = {"index.html": b"", "about/index.html": b""}
    publish(Site(pages), tmp_path, TODAY)
    assert publish(Site({"index.html": b""}), tmp_path, TODAY) == Published(
        tmp_path.resolve(), (), 1, ("about/index.html",)
    )
    assert set(everything(tmp_path)) == {".sitegen", "index.html"}


def test_an_unchanged_site_leaves_the_folder_in_place(tmp_path):
    """The folder keeps its inode, so that programs that hold it open see no change."""
    to = tmp_path / "published"
    publish(a_site("1", range(3)), to, TODAY)
    folder = to.stat().st_ino
    assert publish(a_site("1", range(3)), to, TODAY) == Published(to.resolve(), changed=(), unchanged=5, removed=())
    assert to.stat().st_ino == folder
    publish(a_site("2", range(3)), to, TODAY)
    assert to.stat().st_ino != folder


def test_an_operating_system_error_is_reported_as_a_problem(tmp_path):
    (tmp_path / "file").write_text("a file")
    to = tmp_path / "file" / "published"
    found = f"File exists ({to.parent})"
    mend = "mend this and build again; the published site is unchanged"
    assert publish(a_site("1", range(3)), to, TODAY) == Problem(
        str(to), 0, 0, "", found, "a folder that the site can be published to", mend
    )


def test_a_file_in_the_place_of_the_folder_is_refused(tmp_path):
    (tmp_path / "published").write_text("a file")
    assert (
        publish(a_site("1", range(3)), tmp_path / "published", TODAY).found
        == "a file where the site's folder should be"
    )
    assert (tmp_path / "published").read_text() == "a file"


def test_an_empty_folder_and_a_link_to_one_are_published_to(tmp_path):
    (tmp_path / "host").mkdir()
    (tmp_path / "published").symlink_to("host")
    publish(a_site("1", range(3)), tmp_path / "published", TODAY)
    assert (tmp_path / "published").is_symlink()
    assert versions_of_whole_site(tmp_path / "host") == {"1"}


@pytest.mark.parametrize(
    "path", ["../out.html", "/etc/out.html", "a/../../out.html", "", ".sitegen", ".sitegen-new/x"]
)
def test_a_path_outside_the_folder_or_of_the_marker_raises(tmp_path, path):
    with pytest.raises(ValueError, match="is not a path within a site"):
        publish(Site({path: b""}), tmp_path / "published", TODAY)
    assert not (tmp_path / "published").exists()
