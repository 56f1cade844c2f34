"""The documents: how long they may be, and that what they link to exists. No outside source."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import polib
import pytest
import yaml

from tests.conftest import REPOSITORY
from tests.test_architecture import ROOMS

FOLDER = REPOSITORY / ".docs"
DOCUMENTS = [REPOSITORY / "README.md", REPOSITORY / "DEVELOPERS.md", *sorted(FOLDER.glob("*.md"))]
LONGEST = {"README.md": 9_000, "DEVELOPERS.md": 20_000}
"""Bytes. What is longer belongs into `.docs/`."""


def linked_files(document: Path) -> Iterator[Path]:
    """Yield each file that a document links to by a relative address."""
    for address in re.findall(r"\]\(([^)\s]+)\)", document.read_text("utf-8")):
        if "://" not in address and not address.startswith("#"):
            yield document.parent / address.partition("#")[0]


@pytest.mark.parametrize("name", LONGEST)
def test_readme_and_developers_stay_below_their_limits(name):
    assert len((REPOSITORY / name).read_bytes()) <= LONGEST[name]


def test_every_relative_link_of_a_document_leads_to_a_file():
    links = {(document.name, file) for document in DOCUMENTS for file in linked_files(document)}
    assert len(links) > 10
    assert not [(name, str(file)) for name, file in links if not file.is_file()]


def test_the_readme_links_to_every_document():
    assert {file.resolve() for file in linked_files(REPOSITORY / "README.md")} >= set(FOLDER.glob("*.md"))


def test_every_heading_that_a_tour_names_is_on_a_page():
    """Headings and buttons stand in italics, and with the words that pages use."""
    texts = "\n".join(
        form
        for catalog in (REPOSITORY / "content/en").rglob("*.po")
        for message in polib.pofile(str(catalog))
        for form in (message.msgstr, *message.msgstr_plural.values())
    )
    vehicles = "\n".join(
        "{year} {make} {model}".format(**yaml.safe_load(record.read_text("utf-8"))["vehicle"])
        for record in (REPOSITORY / "demo_site/vehicles").glob("*/inspection.yaml")
    )
    tours = "\n".join((REPOSITORY / name).read_text("utf-8") for name in ("README.md", ".docs/salesperson.md"))
    names = set(re.findall(r"(?<![*\w])\*([A-Z0-9][^*]+)\*(?!\*)", tours))
    assert len(names) > 8
    assert {" ".join(name.split()) for name in names if name not in texts + vehicles} == set()


def test_the_table_of_rooms_is_that_of_the_architecture_test():
    """Which room may import which; the order of the rooms in the document is free."""
    text = (REPOSITORY / "DEVELOPERS.md").read_text("utf-8")
    rows = re.findall(r"^\| `sitegen/(\w+)` \| [^|]* \| ([^|]*) \|", text, re.M)
    rooms = {name for name, _ in rows}
    special = {"nothing": set(), "all of these": rooms}
    assert {name: special.get(words, set(words.split(", "))) - {name} for name, words in rows} == ROOMS


def test_every_folder_of_a_room_is_in_developers_md():
    text = (REPOSITORY / "DEVELOPERS.md").read_text("utf-8")
    plan = text.partition("One folder inside a room")[2].partition("- **records**")[0]
    folders = [folder.parent.name for folder in (REPOSITORY / "sitegen").glob("*/*/__init__.py")]
    assert "outlook" in folders
    assert [folder for folder in folders if folder not in plan] == []


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda document: document.name)
def test_every_file_of_the_program_that_a_document_names_exists(document):
    """A name such as `pages/composing.py` or `limits.js` is the end of a path in the working copy."""
    listed = subprocess.run(["git", "ls-files"], cwd=REPOSITORY, check=True, capture_output=True, text=True).stdout
    paths = [f"/{path}" for path in listed.splitlines()]
    named = set(re.findall(r"(?<![\w/<>*.-])([\w./-]+\.(?:py|mjs|js|po|css))(?![\w<])", document.read_text("utf-8")))
    assert [name for name in named if not any(path.endswith(f"/{name}") for path in paths)] == []
