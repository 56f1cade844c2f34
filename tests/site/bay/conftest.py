"""A new store whose vehicles come in by the bay page."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import run_sitegen


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new store with its bay page, for the tests of one module."""
    folder = tmp_path_factory.mktemp("bay") / "store"
    for arguments in (("start", folder), ("bay", folder)):
        done = run_sitegen(*arguments)
        assert done.returncode == 0, done.stderr
    return folder
