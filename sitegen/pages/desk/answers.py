"""Answers to buyers' questions, quoted from the vehicle's own page with a link to each place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sitegen.condition.basis.findings import Condition, RustFinding
from sitegen.pages.language.translator import Fact, Text, Translator, join_texts
from sitegen.pages.vehicle.condition_page import ConditionPage
from sitegen.pages.vehicle.defects.defects import DefectView
from sitegen.pages.vehicle.first_screen import LowestFigure
from sitegen.records.base import LocalizedText


@dataclass(frozen=True)
class Answer:
    """A buyer's question, the page's sentences that answer it, and their place on the page."""

    question: str
    said: Text
    anchor: str
    """The anchor of the quoted section; empty for the top of the page."""


def answers(
    page: ConditionPage, condition: Condition, notes_on_rust: Sequence[LocalizedText], translator: Translator
) -> tuple[Answer, ...]:
    """Return the answers in the usual order of buyers' questions (common practice)."""
    tires, brakes = page.first.lowest
    sets = {wheel_set.anchor: wheel_set.remarks for wheel_set in page.measured.sets}
    title, recalls = page.papers[:2]
    questions = (
        ("faults", "defects", (*page.first_words, *(line.words for line in page.first.worst))),
        ("tires", tires.anchor, (_figure(tires, translator), *sets.get(tires.anchor, ()))),
        ("brakes", brakes.anchor, (_figure(brakes, translator), *sets.get(brakes.anchor, ()))),
        _rust(page, condition, notes_on_rust, translator),
        ("first_year", "outlook", (*_plain(page.first.plan), *_plain(page.first.due))),
        ("not_checked", "checks", tuple(_not_checked(page, translator))),
        ("title", "papers", (_fact(title, translator), _fact(recalls, translator))),
        ("price", "", tuple(_price(page))),
    )
    return tuple(
        Answer(translator.say(f"desk.ask.{name}"), join_texts(sentences), anchor)
        for name, anchor, sentences in questions
    )


def _plain(text: str | None) -> tuple[Text, ...]:
    return (Text(text, None),) if text else ()


def _figure(lowest: LowestFigure, translator: Translator) -> Text:
    figure = lowest.figure
    if figure.note is None:
        return translator.tell("desk.figure", name=figure.name, figure=figure.value)
    return translator.tell("desk.figure_at", name=figure.name, figure=figure.value, note=figure.note)


def _fact(fact: Fact, translator: Translator) -> Text:
    figure = join_texts((fact.value, *fact.paragraphs))
    return translator.tell("desk.fact", name=fact.name, figure=figure)


def _rust(
    page: ConditionPage, condition: Condition, notes: Sequence[LocalizedText], translator: Translator
) -> tuple[str, str, tuple[Text, ...]]:
    """Return the key of the question about rust, the anchor of its answer, and yes, no or not looked at first.

    Every defect that is rust and every note on it is quoted; without any, the stations that were looked at.
    """
    rust_ids = {finding.defect for finding in condition.of(RustFinding)}
    listed = [defect for station in page.defects for defect in station.defects if defect.anchor in rust_ids]
    quoted = tuple(translator.text(note) for note in notes)
    if listed:
        anchor = listed[0].anchor if len(listed) == 1 else "defects"
        return "rust", anchor, (translator.tell("desk.rust.yes"), *map(_as_on_its_card, listed), *quoted)
    if quoted:
        return "rust", "checks", (translator.tell("desk.rust.noted"), *quoted)
    is_partly = bool(page.partly_looked_at or page.not_looked_at)
    plainly_said = translator.tell("desk.rust.not_everywhere" if is_partly else "desk.rust.no")
    stations = (page.defects_introduction, page.no_defects_at, page.partly_looked_at, page.not_looked_at)
    return "rust", "defects", (plainly_said, *(sentence for text in stations for sentence in _plain(text)))


def _as_on_its_card(defect: DefectView) -> Text:
    named = join_texts((Text(f"{defect.kind}, ", None), defect.part, Text(":", None)), between="")
    return join_texts((named, defect.words, *(Text(sentence, None) for sentence in defect.rust)))


def _not_checked(page: ConditionPage, translator: Translator) -> Iterator[Text]:
    """Yield the sentence about unchecked important points, then one that lists every unchecked point."""
    yield from _plain(page.first.unchecked)
    points = "; ".join(station.not_checked for station in page.checks if station.not_checked)
    if points:
        yield from _plain(f"{translator.say('checks.not_checked')} {points}.")


def _price(page: ConditionPage) -> Iterator[Text]:
    """Yield the reasons for the price: the worst defect, promised work, and upkeep to expect."""
    yield from _plain(f"{page.identity.price}.")
    yield from (line.words for line in page.first.worst)
    yield from page.promised
    yield from _plain(page.first.plan)
    yield from _plain(page.first.due)
