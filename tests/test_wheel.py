"""A wheel, installed far from the working copy, does all of the work: words, figures and themes travel inside it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.builders import write_store
from tests.conftest import DEMO_DAY, REPOSITORY
from tests.site.pages import all_pages


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The `sitegen` program of a fresh environment that holds the wheel, with only what the wheel asks for."""
    place = tmp_path_factory.mktemp("elsewhere")
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(place), str(REPOSITORY)]
    subprocess.run(build, check=True, capture_output=True)
    subprocess.run([sys.executable, "-m", "venv", place / "environment"], check=True)
    programs = place / "environment" / "bin"
    pip: list[str | Path] = [programs / "python", "-m", "pip", "--quiet", "--disable-pip-version-check"]
    subprocess.run([*pip, "install", "--no-compile", *place.glob("*.whl")], check=True)
    return programs / "sitegen"


def test_an_installed_wheel_builds_a_store_in_another_folder(installed, tmp_path):
    store = write_store(tmp_path / "store", pages={"about.md": "# About us\n\nWe sell vehicles.\n"})
    environment = {"PATH": os.environ["PATH"], "HOME": str(tmp_path), "SOURCE_DATE_EPOCH": DEMO_DAY}
    done = subprocess.run(
        [installed, "build", "store"], cwd=tmp_path, env=environment, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-1] == f"Open {store / 'published' / 'index.html'}"
    assert set(all_pages(store / "published")) >= {"index.html", "vehicles/K900/index.html", "about/index.html"}
    assert str(REPOSITORY) not in done.stdout + done.stderr


def test_an_installed_wheel_prints_its_documents(installed, tmp_path):
    environment = {"PATH": os.environ["PATH"], "HOME": str(tmp_path)}
    for topic, words in (("hosting", "server_name"), ("theme", "share_picture.yaml"), ("kinds", "surface rust")):
        command = [installed, "help", topic]
        done = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, text=True)
        assert words in done.stdout, done.stderr
