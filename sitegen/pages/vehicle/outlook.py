"""The outlook in words: what will need doing, when, and for about how much."""

from __future__ import annotations

import json
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from markupsafe import Markup

from sitegen.condition.basis.findings import Condition
from sitegen.condition.basis.forecast import Band, CostRange, ItemOutlook, OutlookLine
from sitegen.condition.basis.values import WholeSpan
from sitegen.condition.outlook.outlook import outlook_facts
from sitegen.pages.language.catalog import Term
from sitegen.pages.language.translator import Told, Translator, joined
from sitegen.records.quantities import METRES_PER_MILE, Distance

LEAST_A_YEAR, MOST_A_YEAR = 1_000, 40_000
CARRIED_WORDS = ("from_to", "budget_now", "months", "months_open", "not_priced", "introduction", "announced")


@dataclass(frozen=True)
class OutlookLineView:
    """One item: what, when, why, for how much."""

    key: str
    item: str
    when: str
    months: str | None
    distance: str | None
    distance_decides: bool
    """Whether the distance is shown: where months alone decide, it would mislead."""
    basis: Told
    cost: str | None


@dataclass(frozen=True)
class YearView:
    """The cost of one year, or of all three."""

    name: str
    surely: str
    possibly: str


@dataclass(frozen=True)
class OutlookView:
    """The whole outlook at one distance a year."""

    introduction: tuple[str, str]
    question: str
    hint: str
    no_script: str
    lines: tuple[OutlookLineView, ...]
    years: tuple[YearView, ...]
    sums: str
    not_priced: str | None
    terms: tuple[Term, ...]
    unit: str
    a_year: int
    least_a_year: int
    most_a_year: int
    carried: Markup
    """Facts and words as JSON, from which the page works the outlook out again for other distances a year."""


def outlook_view(condition: Condition, a_year: Distance, translator: Translator) -> OutlookView:
    """Return the outlook, the most urgent item first."""
    outlook = condition.outlook
    years = [
        YearView(
            translator.say(f"outlook.year.{year.year}"),
            _cost(year.surely, translator),
            _cost(year.possibly, translator),
        )
        for year in outlook.years
    ]
    whole = YearView(
        translator.say("outlook.year.all"),
        _cost(outlook.whole.surely, translator),
        _cost(outlook.whole.possibly, translator),
    )
    return OutlookView(
        introduction=(translator.say("outlook.introduction", distance=a_year), translator.say("outlook.honest")),
        question=translator.say(f"outlook.your_distance_{outlook.unit}"),
        hint=translator.say("outlook.range_hint", least=LEAST_A_YEAR, most=MOST_A_YEAR),
        no_script=translator.say("outlook.no_script", distance=a_year),
        lines=tuple(_line(item, condition.line(item.key), translator) for item in outlook.items),
        years=(*years, whole) if any(line.facts.cost for line in condition.lines) else (),
        sums=translator.say("outlook.sums"),
        not_priced=_not_priced(condition, translator),
        terms=translator.catalog.explained("outlook", "surely-possibly", "timing-belt"),
        unit=str(outlook.unit),
        a_year=outlook.a_year,
        least_a_year=LEAST_A_YEAR,
        most_a_year=MOST_A_YEAR,
        carried=_carried(condition, translator),
    )


def _line(item: ItemOutlook, line: OutlookLine, translator: Translator) -> OutlookLineView:
    cost = line.facts.cost
    return OutlookLineView(
        key=item.key,
        item=translator.say(f"item.{item.key}"),
        when=_when(item, translator),
        months=_months(item.months, translator)
        if item.band_from is not Band.DUE_NOW and not item.budget_now
        else None,
        distance=_distance(line, translator),
        distance_decides=not item.by_time and item.band_to is not Band.DUE_NOW,
        basis=joined(translator.tell_sentences(line.basis)),
        cost=_cost(cost, translator) if cost else None,
    )


def _when(item: ItemOutlook, translator: Translator) -> str:
    """Say the band, or the two bands between which it falls."""
    if item.budget_now:
        return translator.say("outlook.budget_now")
    first, last = translator.choice("band", item.band_from), translator.choice("band", item.band_to)
    return first if first == last else translator.say("outlook.from_to", first=first, last=last.lower())


def _months(months: WholeSpan | None, translator: Translator) -> str | None:
    if months is None:
        return None
    if months.high is None:
        return translator.say("outlook.months_open", low=months.low)
    return translator.say("outlook.months", low=months.low, high=months.high)


def _distance(line: OutlookLine, translator: Translator) -> str | None:
    """Say the distance that is left, where the item goes by distance; it does not change with the miles a year."""
    left = line.facts.distance
    if left is None:
        return None
    unit = METRES_PER_MILE if translator.formats.distance_in_miles else Fraction(1000)
    low = translator.formats.distance(Distance(left.low * unit, ""))
    if left.high is None:
        return translator.say("outlook.distance_open", low=low)
    return translator.say(
        "outlook.distance", low=low, high=translator.formats.distance(Distance(left.high * unit, ""))
    )


def _not_priced(condition: Condition, translator: Translator) -> str | None:
    keys = condition.outlook.not_priced
    return (
        translator.say("outlook.not_priced", items=translator.listed(translator.say(f"item.{key}") for key in keys))
        if keys
        else None
    )


def _carried(condition: Condition, translator: Translator) -> Markup:
    """Return facts, and the words for what the script works out, safe inside a script element."""
    formats, say = translator.formats, translator.catalog.messages
    words = {name: say[f"outlook.{name}"][0] for name in CARRIED_WORDS}
    carried = {
        "facts": outlook_facts(condition.facts),
        "currency": formats.currency,
        "locale": formats.locale_tag,
        "bands": {str(band): translator.choice("band", band) for band in Band},
        "items": {item.key: translator.say(f"item.{item.key}") for item in condition.outlook.items},
        "list": {"comma": say["list.comma"][0], "last": say["list.last"][0]},
        "words": words,
    }
    return Markup(json.dumps(carried, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c"))


def _cost(cost: CostRange, translator: Translator) -> str:
    return translator.formats.money_range(Decimal(cost.low) / 100, Decimal(cost.high) / 100)
