"""The costs of the outlook in words: what is due, items without a record, both together, and what is not included."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from sitegen.condition.basis.facts import FactKind, Harm
from sitegen.condition.basis.findings import Condition
from sitegen.condition.basis.forecast import CostRange, NamedItems, PlanFigure
from sitegen.condition.standing.standing import open_facts
from sitegen.pages.language.translator import Text, Translator, join_texts, within_a_sentence
from sitegen.pages.vehicle.defects.standing import fact_words

SUMS = ("due", "no_record", "total")
NOTES = ("not_measured", "at_worst", "no_record")
"""The notes about how the sums count some items, in order."""
CARRIED_WORDS = (
    *("about", "likely", "figure", "most_expensive", "nothing_without_record", "without", "plan_in_brief"),
    *("plan_in_brief_no_record", "not_included_no_price", "not_included_no_date", "announced"),
    "announced_today",
    *(f"note_{note}" for note in NOTES),
)


@dataclass(frozen=True)
class SumView:
    """One of the sums: its name, the figure to plan with, its range, and a note."""

    key: str
    name: str
    about: str
    """"about $950"."""
    likely: str | None
    """"most likely between $450 and $1,500"; None if the sum is zero."""
    note: str | None
    """The most expensive item of the sum, or the items that it leaves out."""


@dataclass(frozen=True)
class YearView:
    """The sums of one period, each with its range."""

    name: str
    sums: tuple[str, ...]


@dataclass(frozen=True)
class PlanView:
    """The figures to plan with."""

    sums: tuple[SumView, ...]
    """The sums of the first year: what is due, items without a record, and both together."""
    in_brief: str
    """The first two sums in one sentence."""


def plan_view(condition: Condition, translator: Translator) -> PlanView | None:
    """Return the figures to plan with. None if the store lists no price for any item."""
    if not any(line.facts.cost for line in condition.lines):
        return None
    outlook = condition.outlook
    figures = {"due": outlook.first_year.due, "no_record": outlook.no_record, "total": outlook.first_year.total}
    notes = {"due": _without(outlook.named, translator), "no_record": _most_expensive(condition, translator)}
    return PlanView(
        sums=tuple(_sum(key, figures[key], notes.get(key), translator) for key in SUMS),
        in_brief=_in_brief(figures, translator),
    )


def _sum(key: str, figure: PlanFigure, note: str | None, translator: Translator) -> SumView:
    return SumView(
        key=key,
        name=translator.say(f"outlook.sum_{key}"),
        about=about_words(figure, translator),
        likely=likely_words(figure, translator) if figure.high else None,
        note=note,
    )


def _in_brief(figures: dict[str, PlanFigure], translator: Translator) -> str:
    due, no_record = (about_words(figures[key], translator) for key in ("due", "no_record"))
    if not figures["no_record"].high:
        return translator.say("outlook.plan_in_brief", due=due)
    return translator.say("outlook.plan_in_brief_no_record", due=due, no_record=no_record)


def without_in_brief(named: NamedItems, translator: Translator) -> str | None:
    """Return the sentence that names the first few items without a price and counts the others.

    None if all have one.
    """
    if not named.not_priced:
        return None
    return translator.say("outlook.without", items=translator.some_of(_items(named.not_priced, translator)))


def _without(named: NamedItems, translator: Translator) -> str | None:
    """Return the sentence that names all items without a price, for the figure that lacks them.

    None if all have one.
    """
    if not named.not_priced:
        return None
    return translator.say("outlook.without", items=translator.listed(_items(named.not_priced, translator)))


def _most_expensive(condition: Condition, translator: Translator) -> str:
    keys = condition.outlook.named.no_record
    if not keys:
        return translator.say("outlook.nothing_without_record")
    cost = condition.line(keys[0]).facts.cost
    item = within_a_sentence(translator.say(f"item.{keys[0]}"))
    return translator.say("outlook.most_expensive", item=item, cost=cost_words(cost, translator) if cost else "")


def year_views(condition: Condition, translator: Translator) -> tuple[YearView, ...]:
    """Return a row for the first year and one for three years."""
    outlook = condition.outlook
    return tuple(
        YearView(
            translator.say(f"outlook.year.{name}"),
            tuple(figure_words(figure, translator) for figure in (window.due, outlook.no_record, window.total)),
        )
        for name, window in (("first", outlook.first_year), ("three", outlook.whole))
    )


def not_included_words(named: NamedItems, translator: Translator) -> str | None:
    """Return a sentence for each reason for which items are in no sum, with the items.

    None if every item is in a sum.
    """
    reasons = (("no_price", named.not_priced), ("no_date", named.no_basis))
    sentences = [
        translator.say(f"outlook.not_included_{reason}", items=translator.listed(_items(keys, translator)))
        for reason, keys in reasons
        if keys
    ]
    return " ".join(sentences) or None


def note_words(named: NamedItems, translator: Translator) -> tuple[str, ...]:
    """Return a sentence for each way in which the sums count what was not measured, checked or recorded."""
    return tuple(
        translator.say(f"outlook.note_{note}", items=translator.listed(_items(keys, translator)))
        for note in NOTES
        if (keys := getattr(named, note))
    )


def _items(keys: Sequence[str], translator: Translator) -> tuple[str, ...]:
    return tuple(within_a_sentence(translator.say(f"item.{key}")) for key in keys)


def repairs_words(condition: Condition, translator: Translator) -> Text | None:
    """Return the sentence that names open faults whose repair no sum includes. None if there are none.

    Cosmetic faults need no repair.
    """
    kinds = (FactKind.DEFECT, FactKind.CHECK)
    harms = (Harm.CAN_HURT, Harm.CAN_STRAND, Harm.WORKS_LESS_WELL)
    facts = [fact for fact in open_facts(condition.standing, *harms) if fact.kind in kinds]
    wrong = [fact_words(fact, translator) for fact in facts]
    return translator.tell("outlook.repairs", items=join_texts(wrong, "; ")) if wrong else None


def cost_words(cost: CostRange, translator: Translator) -> str:
    """Return a range of hundredths of the currency as money."""
    return translator.formats.money_range(Decimal(cost.low) / 100, Decimal(cost.high) / 100)


def about_words(figure: PlanFigure, translator: Translator) -> str:
    """Return a figure to plan with: "about $950", or "$0"."""
    about = _money(figure.about, translator)
    return translator.say("outlook.about", about=about) if figure.high else about


def likely_words(figure: PlanFigure, translator: Translator) -> str:
    """Return the range of a figure: "most likely between $450 and $1,500"."""
    low, high = (_money(cents, translator) for cents in (figure.low, figure.high))
    return translator.say("outlook.likely", low=low, high=high)


def figure_words(figure: PlanFigure, translator: Translator) -> str:
    """Return a figure with its range, in one line; `$0` alone if the range is zero."""
    if not figure.high:
        return _money(0, translator)
    about, likely = about_words(figure, translator), likely_words(figure, translator)
    return translator.say("outlook.figure", about=about, likely=likely)


def _money(cents: int, translator: Translator) -> str:
    return translator.formats.money(Decimal(cents) / 100)
