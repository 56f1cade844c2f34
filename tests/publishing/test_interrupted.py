"""However a publication is interrupted, its folder holds a complete site."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from sitegen.pages.site import Site
from sitegen.publishing.publication import Published, publish
from tests.conftest import REPOSITORY
from tests.publishing.sites import TODAY, a_site, versions_of_whole_site


def run_python(*arguments: str | Path, **options: Any) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *map(str, arguments)], cwd=REPOSITORY, capture_output=True, text=True, **options
    )


def killed_at_each_step(base: Path, *kept: str) -> list[Path]:
    """The published folders after a kill at each step, in the order of the steps."""
    done = run_python("-m", "tests.publishing.killed", base, *kept)
    assert done.returncode == 0, done.stderr
    return [base / str(step) / "published" for step in range(len(list(base.iterdir())))]


def test_killed_at_any_step_the_folder_holds_the_old_site_or_the_new_one(tmp_path):
    """SIGKILL cannot be caught (POSIX, signal.h), so no code of ours runs after it, as after a power cut."""
    folders = killed_at_each_step(tmp_path)
    seen = [versions_of_whole_site(folder) for folder in folders]
    assert len(folders) > 40
    assert {"1"} in seen
    assert {"2"} in seen
    assert all(len(versions) == 1 for versions in seen)


def test_killed_at_any_step_beside_foreign_files_each_page_is_old_or_new_and_no_link_breaks(tmp_path):
    folders = killed_at_each_step(tmp_path, "kept")
    seen = [versions_of_whole_site(folder) for folder in folders]
    assert len(folders) > 60
    assert {"1", "2"} in seen
    assert all((folder / "webmaster.txt").read_text() == "kept" for folder in folders)


@pytest.mark.parametrize("kept", [(), ("kept",)])
def test_the_next_publication_completes_a_killed_one_and_cleans_up(tmp_path, kept):
    for folder in killed_at_each_step(tmp_path, *kept):
        assert isinstance(publish(a_site("3", range(2, 4)), folder, TODAY), Published)
        assert versions_of_whole_site(folder) == {"3"}
        expected = {".sitegen", "assets", "index.html", "vehicles", *(["webmaster.txt"] if kept else [])}
        assert {entry.name for entry in folder.iterdir()} == expected
        assert [entry.name for entry in folder.parent.iterdir()] == ["published"]


def test_a_full_disk_leaves_the_published_site_and_is_reported(tmp_path):
    """A limit on the size of files (setrlimit(2), RLIMIT_FSIZE) makes the write fail as on a full disk."""
    publish(a_site("1", range(1, 4)), tmp_path / "published", TODAY)
    program = (
        "import sys, pathlib;"
        "from sitegen.pages.site import Site; from sitegen.publishing.publication import publish;"
        "from tests.publishing.sites import TODAY;"
        "print(publish(Site({'index.html': b'x' * 9000}), pathlib.Path(sys.argv[1]), TODAY).as_line())"
    )
    limit = lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (4000, 4000))  # noqa: E731
    done = run_python("-c", program, tmp_path / "published", preexec_fn=limit)
    assert done.stdout == (
        f"{tmp_path / 'published'}: found no room left on the disk; expected a folder that the site can be published "
        "to; to mend, make room and build again; the published site is unchanged\n"
    ), done.stderr
    assert versions_of_whole_site(tmp_path / "published") == {"1"}
    assert [entry.name for entry in tmp_path.iterdir()] == ["published"]


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that every user may enter; pytest's own is closed to the user that the next tests switch to."""
    with tempfile.TemporaryDirectory() as name:
        Path(name).chmod(0o755)
        yield Path(name)


PUBLISH_AS_NOBODY = """
import os, pathlib, sys
from tests.publishing.sites import TODAY, a_site
from sitegen.publishing.publication import publish
if os.geteuid() == 0: os.setuid(65534)
done = publish(a_site("2", range(2)), pathlib.Path(sys.argv[1]), TODAY)
print(done.as_line() if hasattr(done, "as_line") else "published")
"""


@pytest.mark.parametrize(("folder_mode", "parent_mode"), [(0o555, 0o555), (0o555, 0o777)])
def test_an_unwritable_folder_is_unchanged(open_folder, folder_mode, parent_mode):
    to = open_folder / "host" / "published"
    publish(a_site("1", range(3)), to, TODAY)
    to.chmod(folder_mode)
    to.parent.chmod(parent_mode)
    done = run_python("-c", PUBLISH_AS_NOBODY, to)
    assert done.stdout == (
        f"{to}: found a folder that we may not write to; expected a folder that the site can be published to; "
        "to mend, allow writing to it, or name another folder with --to; the published site is unchanged\n"
    ), done.stderr
    assert versions_of_whole_site(to) == {"1"}


def test_with_an_unwritable_parent_files_are_replaced_one_by_one(open_folder):
    """As on a host where the webmaster may write to the site's folder only."""
    to = open_folder / "host" / "published"
    publish(a_site("1", range(3)), to, TODAY)
    for place in (to, *to.rglob("*")):
        place.chmod(0o777)
    to.parent.chmod(0o555)
    identity = to.stat().st_ino
    done = run_python("-c", PUBLISH_AS_NOBODY, to)
    assert done.stdout == "published\n", done.stderr
    assert versions_of_whole_site(to) == {"2"}
    assert to.stat().st_ino == identity


def test_the_folder_always_exists_while_two_programs_publish(tmp_path):
    """Two programs publish different versions at once, and a reader finds an index page at every moment."""
    to = tmp_path / "published"
    publish(a_site("1", range(3)), to, TODAY)
    program = (
        "import sys, pathlib; from tests.publishing.sites import TODAY, a_site;"
        "from sitegen.publishing.publication import publish;"
        "to = pathlib.Path(sys.argv[1]);"
        "[publish(a_site(sys.argv[2] + str(n), range(n % 3, 6)), to, TODAY) for n in range(30)]"
    )
    command = [sys.executable, "-c", program, str(to)]
    writers = [subprocess.Popen([*command, name], cwd=REPOSITORY) for name in ("a", "b")]
    looks = 0
    while any(writer.poll() is None for writer in writers):
        os.stat(to / "index.html")  # noqa: PTH116  # raises if there is none
        looks += 1
    assert [writer.returncode for writer in writers] == [0, 0]
    assert looks > 100
    assert versions_of_whole_site(to) in ({"a29"}, {"b29"})


def test_an_exception_leaves_the_published_site(tmp_path):
    """A picture is deleted between its creation and its publication."""
    to = tmp_path / "published"
    publish(a_site("1", range(3)), to, TODAY)
    problem = publish(Site({"index.html": b""}, {"pictures/gone.jpg": tmp_path / "gone.jpg"}), to, TODAY)
    assert "No such file or directory" in problem.as_line()
    assert versions_of_whole_site(to) == {"1"}
