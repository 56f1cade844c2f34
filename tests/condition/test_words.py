"""The sentences of findings, outlook and gate: each has its words, each is plain."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import textstat
from hypothesis import given, settings

from sitegen.condition.basis.findings import Condition
from sitegen.condition.basis.values import Said
from sitegen.pages.language.catalog import read_catalog
from sitegen.pages.language.formats import Formats
from sitegen.pages.language.translator import Translator
from sitegen.shared_data import content_folder
from tests.builders import merged, units_of
from tests.condition.judged import EU, GB, US, judged
from tests.condition.test_costs_and_gate import HOLDS, mend
from tests.condition.vehicles import changes
from tests.conftest import REPOSITORY

CATALOG_EN = read_catalog(content_folder(), "en")
TRANSLATOR = Translator(CATALOG_EN, Formats("en", "USD", units=units_of("us")), "en")
CATALOG = "".join(path.read_text("utf-8") for path in (content_folder() / "en" / "condition").glob("*.po"))
KEYS = set(re.findall(r'^msgid "(.+)"$', CATALOG, re.MULTILINE))
TEXTS = [
    text for text in re.findall(r'^msgstr(?:\[\d\])? "(.+)"$', CATALOG, re.MULTILINE) if not text.startswith("Lang")
]


def everything_said(condition: Condition) -> Iterator[Said]:
    for finding in condition.findings:
        yield from finding.remarks
    for line in condition.lines:
        yield from line.basis
    for hold in condition.gate.holding:
        yield hold.said
    yield from condition.gate.first_words


def tell(condition: Condition) -> str:
    return "\n".join(TRANSLATOR.sentences(everything_said(condition)))


@settings(max_examples=40)
@given(changes())
def test_every_sentence_of_every_vehicle_has_a_message(vehicle):
    """A key without words, or words that name a figure which is not there, would raise KeyError."""
    for region in (US, GB, EU):
        told = tell(judged(region, **vehicle))
        assert "{" not in told


@pytest.mark.parametrize("name", HOLDS)
def test_every_hold_has_a_message(name):
    held, promised = HOLDS[name][0], merged(HOLDS[name][0], {"before_delivery": [mend(name)]})
    for changes_made in (held, promised, {**held, "not_for_road_use": True}):
        assert "{" not in tell(judged(**changes_made))


def patterns() -> list[str]:
    """Return every message key that the sources name, as a pattern: what is filled in at run time is anything."""
    sources = [path.read_text("utf-8") for path in (REPOSITORY / "sitegen" / "condition").rglob("*.py")]
    figures = [path.read_text("utf-8") for path in (REPOSITORY / "content" / "reference").glob("*.yaml")]
    written = re.compile(r'"((?:[a-z0-9_.]|\{[^{}]*\})+)"')
    named = {key for source in sources for key in written.findall(source) if "." in key}
    named |= {
        key for text in figures for key in re.findall(r"(?:words|rust|corrosion|perforation): (rust\.\w+)", text)
    }
    return [re.sub(r"\\{.*?\\}", r"[a-z0-9_-]+", re.escape(key)) for key in sorted(named)]


def test_no_message_is_unused():
    """Words for bands and items are looked up by `pages`."""
    looked_up_by_pages = r"(band|item)\.\w+"
    named = re.compile("|".join([*patterns(), looked_up_by_pages]))
    assert not {key for key in KEYS if not named.fullmatch(key)}


def test_every_item_and_band_has_a_name():
    every_kind = [{"fuel": "electric"}, {"timing": "belt", "drive": "4wd"}, {"transmission": "manual"}]
    for vehicle in every_kind:
        condition = judged(vehicle=vehicle, tires={"left_front": {"tread": {"inner": "4/32 in"}}})
        for found in condition.outlook.items:
            assert CATALOG_EN.say(f"item.{found.key}")
            assert CATALOG_EN.say(f"band.{found.band_from.value.replace(' ', '_')}")


# Words that would promise, or speak as a court or a school would. Plain facts need none of them.
FORBIDDEN = ("legal", "illegal", "lawful", "guarantee", "perfect", "passes", "grade a", "score", "excellent")


@pytest.mark.parametrize("word", FORBIDDEN)
def test_no_message_promises_or_praises(word):
    texts = [*TEXTS, *(path.read_text("utf-8") for path in (content_folder() / "en" / "terms").glob("*.md"))]
    assert not [text for text in texts if re.search(rf"\b{word}", text, re.IGNORECASE)]


def grade(text: str) -> float:
    """Flesch-Kincaid grade. Figures and units distort it, so only prose is scored (textstat 0.7.3)."""
    return textstat.flesch_kincaid_grade(re.sub(r"\{[^}]*\}", "ten", text))


def test_the_sentences_are_plain():
    """Grade 8 or less over all sentences together (WCAG 3.1.5 asks for about 7 to 9 years of school)."""
    sentences = [text for text in TEXTS if text.endswith((".", "."))]
    assert len(sentences) > 150
    assert grade(" ".join(sentences)) <= 8


@pytest.mark.parametrize("path", sorted((content_folder() / "en" / "terms").glob("*.md")), ids=lambda path: path.stem)
def test_each_explainer_is_short_and_plain(path: Path):
    heading, _, meaning = path.read_text("utf-8").partition("\n")
    assert heading.startswith("# ")
    assert len(meaning.split()) <= 75
    assert grade(meaning.strip()) <= 8
