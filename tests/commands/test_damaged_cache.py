"""Whatever is wrong with a store's cache, a build reports it in one line and publishes the same as a cold build."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.builders import write_store
from tests.conftest import run_sitegen, run_sitegen_apart
from tests.engine.damage import Harm, a_file, a_folder, a_link, a_link_to_nothing, a_pipe, a_socket, rotted, zeroed


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    store = write_store(tmp_path_factory.mktemp("built") / "store")
    done = run_sitegen("build", store)
    assert done.returncode == 0, done.stderr
    return store


def published(store: Path) -> dict[str, bytes]:
    """Return every published file, except the note of the publication, which counts publications."""
    files = (path for path in sorted((store / "published").rglob("*")) if path.is_file())
    return {str(path.relative_to(store)): path.read_bytes() for path in files if path.name != ".sitegen"}


@pytest.mark.parametrize(
    ("place", "harm"),
    [
        *((".cache", harm) for harm in (a_file, a_pipe, a_socket, a_link_to_nothing)),
        *((".cache/results.sqlite", harm) for harm in (a_folder, a_pipe, a_link, zeroed, rotted)),
        *((".cache/files", harm) for harm in (a_file, a_socket)),
        *((".cache/previous", harm) for harm in (a_file, a_pipe)),
        *((".cache/previous/build.json", harm) for harm in (a_folder, a_pipe, a_link)),
    ],
)
def test_it_is_set_aside_with_one_line_and_the_site_is_built(built: Path, tmp_path: Path, place: str, harm: Harm):
    store = shutil.copytree(built, tmp_path / "store", symlinks=True)
    harm(store / place)
    done = run_sitegen_apart("build", store, timeout=120)
    assert done.returncode == 0, done.stderr
    lines = [line for line in done.stderr.splitlines() if not line.startswith("Photos: ")]
    assert [line for line in lines if "set aside as" in line] == lines
    assert len(lines) == 1, done.stderr
    assert published(store) == published(built)
    again = run_sitegen_apart("build", store, timeout=120)
    assert (again.returncode, again.stderr) == (0, "")
