"""The examples of `.docs/branding.md`, put into a store as they are written there. No outside source."""

from __future__ import annotations

import re
from pathlib import Path

from tests.builders import write_store
from tests.conftest import REPOSITORY, run_sitegen

BRANDING = (REPOSITORY / ".docs" / "branding.md").read_text("utf-8")


def example(language: str) -> str:
    found = re.search(rf"^```{language}\n(.*?)^```", BRANDING, re.M | re.S)
    assert found is not None
    return found[1]


def test_the_documented_style_sheet_and_share_picture_change_the_site(tmp_path: Path):
    store = write_store(tmp_path / "store")
    plain = run_sitegen("build", store, "--to", tmp_path / "plain")
    assert plain.returncode == 0, plain.stderr
    (store / "theme/styles").mkdir(parents=True)
    (store / "theme/styles/5-store.css").write_text(example("css"), "utf-8")
    (store / "theme/share_picture.yaml").write_text(example("yaml"), "utf-8")
    own = run_sitegen("build", store, "--to", tmp_path / "own")
    assert own.returncode == 0, own.stderr
    (style,) = (tmp_path / "own/assets").glob("*/style.css")
    assert "--accent:#6a1b4d" in style.read_text("utf-8").replace(" ", "")
    pictures = [{file.name for file in (tmp_path / site).rglob("*.jpg")} for site in ("plain", "own")]
    assert pictures[0] != pictures[1]


def test_the_documented_roles_of_colors_are_those_of_the_theme():
    tokens = (REPOSITORY / "themes/daylight/styles/1-tokens.css").read_text("utf-8")
    colors = set(re.findall(r"--([\w-]+): #", tokens))
    paragraph = BRANDING.partition("The roles are")[2].partition("Keep a contrast")[0]
    assert set(re.findall(r"`([\w-]+)`", paragraph)) == colors
