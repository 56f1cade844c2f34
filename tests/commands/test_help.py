"""`sitegen help`: the names and keys that files may use, complete, and each with its meaning.

No outside source: the lists are the project's own. Headings of Markdown get addresses as GitHub makes them.
"""

from __future__ import annotations

import re

import pytest

from sitegen.commands import main
from sitegen.commands.entry import TOPICS
from sitegen.commands.topics.keys import parts_of
from sitegen.reading.reference.vocabulary import read_vocabulary
from sitegen.reading.schemas import schemas
from sitegen.records.store import SiteSettings
from sitegen.shared_data import content_folder, themes_folder
from tests.conftest import REPOSITORY

VOCABULARY = read_vocabulary(content_folder())
THEME = themes_folder() / "daylight"


@pytest.fixture
def printed(capsys):
    """Return what `sitegen help` prints about a topic."""

    def of(*topic: str) -> str:
        assert main(["help", *topic]) == 0
        return capsys.readouterr().out

    return of


def test_without_a_topic_the_topics_are_listed(printed):
    assert re.findall(r"^sitegen help (\w+)", printed(), re.M) == list(TOPICS)


@pytest.mark.parametrize(
    ("topic", "names"),
    [
        ("kinds", VOCABULARY.defect_kinds),
        ("services", VOCABULARY.prices),
        ("checks", VOCABULARY.check_points),
        ("settings", SiteSettings.model_fields),
    ],
)
def test_every_name_is_in_its_list(printed, topic, names):
    text = printed(topic)
    assert [name for name in names if not re.search(rf"(^|  ){name}(  |: |$)", text, re.M)] == []


def test_a_kind_is_listed_with_its_words_and_synonyms(printed):
    assert "surface rust           Surface rust           looks            rust\n" in printed("kinds")


def test_every_file_and_component_of_the_theme_is_listed(printed):
    text = printed("theme")
    files = {path.name for path in THEME.rglob("*") if path.is_file() and "components" not in path.parts}
    components = {path.name for path in (THEME / "components").iterdir() if path.is_dir()}
    assert [name for name in files | components if name not in text] == []


def test_the_document_about_hosts_is_printed_as_it_is(printed):
    assert printed("hosting") == (REPOSITORY / ".docs" / "hosting.md").read_text("utf-8")


def test_the_reference_of_keys_is_up_to_date(printed):
    """If this fails: `sitegen help record > .docs/record.md`."""
    assert (REPOSITORY / ".docs" / "record.md").read_text("utf-8") == printed("record")


@pytest.mark.parametrize("name", schemas())
def test_every_key_has_a_meaning_apart_from_its_values(name):
    """A new key without a docstring below it fails here."""
    keys = [(part.name, key) for part in parts_of(schemas()[name]) for key in part.keys]
    assert [f"{part}.{key.name}" for part, key in keys if not key.meaning or key.meaning == key.values] == []


def test_every_link_within_the_reference_leads_to_a_heading(printed):
    text = printed("record")
    headings = {heading.lower().replace(" ", "-") for heading in re.findall(r"^#+ (.*)$", text, re.M)}
    links = set(re.findall(r"\(#([\w-]+)\)", text))
    assert len(links) > 30
    assert links <= headings
