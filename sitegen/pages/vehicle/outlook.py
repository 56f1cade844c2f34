"""The view of the outlook: each item with its time, reason and cost, and the sums."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from markupsafe import Markup

from sitegen.condition.basis.findings import Condition
from sitegen.condition.basis.forecast import Band, ItemOutlook, OutlookLine, Spreads
from sitegen.condition.basis.values import KnownBy, WholeSpan
from sitegen.condition.outlook.distances import shown_thousands
from sitegen.condition.outlook.outlook import outlook_facts, shown_distance
from sitegen.pages.frame.script_data import script_json
from sitegen.pages.language.catalog import Term
from sitegen.pages.language.translator import Text, Translator, join_texts
from sitegen.pages.vehicle import upkeep
from sitegen.pages.vehicle.outlook_bars import Bar, time_bar
from sitegen.records.base import LocalizedText
from sitegen.records.quantities import METRES_PER_MILE, Distance

LEAST_A_YEAR, MOST_A_YEAR = 1_000, 40_000
ON_THE_LINE = (Band.FIRST_YEAR, Band.SECOND_YEAR, Band.THIRD_YEAR, Band.LATER)
OWN_WEAR = ("outlook.wear.own_history", "outlook.wear.between")
"""The prefixes of message keys about a part's own wear."""
GROUPS = ("now", "no_record", "not_measured", "coming", "no_basis")
BARS = ((True, "own"), (False, "usual"))
CARRIED_WORDS = (
    *(
        "from_to",
        "budget_now",
        "months",
        "months_open",
        "months_same",
        "months_within",
        "introduction",
        "introduction_today",
    ),
    *("not_measured", "could_be_due", "by_age_any_time"),
    *("between_months", "in_month", "from_month", "until_month", *upkeep.CARRIED_WORDS),
)


@dataclass(frozen=True)
class OutlookLineView:
    """One item: its name, time, reason and cost."""

    key: str
    anchor: str
    """Its anchor on the page."""
    item: str
    when: str
    time: str | None
    """Calendar months if time alone decides, else the number of months."""
    distance: str | None
    distance_decides: bool
    """Whether the distance is shown. If months alone decide, it would mislead."""
    basis: Text
    cost: str | None
    bar: Bar | None
    """The bar from the earliest to the latest time. None if there is no basis."""
    is_own: bool
    """Whether a measurement of this vehicle decides, and not the usual life of such parts."""


@dataclass(frozen=True)
class OutlookGroup:
    """Items with the same urgency: due now, to budget for now without a record, later, or without a basis."""

    key: str
    words: str
    lines: tuple[OutlookLineView, ...]


@dataclass(frozen=True)
class OutlookView:
    """The whole outlook at one distance a year."""

    introduction: tuple[str, str]
    question: str
    hint: str
    no_script: str
    axis: tuple[str, ...]
    """The labels of the time axis: each year, and later."""
    legend: tuple[tuple[bool, str], ...]
    """The meaning of the bar outlines that occur: whether own wear, and the words."""
    groups: tuple[OutlookGroup, ...]
    """All groups in order, including empty ones."""
    plan: upkeep.PlanView | None
    no_plan: str
    """The sentence in place of a figure if the store lists no price for any item."""
    not_included: str | None
    """Items that are in no sum, each with the reason."""
    sums: tuple[str, ...]
    """The column headings of `years`."""
    years: tuple[upkeep.YearView, ...]
    """The rows of the table of sums. Empty if the store lists no price for any item."""
    assumes: tuple[str, ...]
    """The assumptions of the sums, and what applies if work was done already."""
    count_from_today: str
    prices_as_of: Text | None
    """The day on which the store last checked its prices, if the price list has it."""
    notes: tuple[str, ...]
    """How the sums count what was not measured, checked or recorded."""
    repairs: Text | None
    """Open faults whose repair no sum includes."""
    terms: tuple[Term, ...]
    unit: str
    a_year: int
    least_a_year: int
    most_a_year: int
    carried: Markup
    """Facts and messages as JSON. A script computes the outlook from them for another distance a year."""


def outlook_view(
    condition: Condition,
    a_year: Distance,
    translator: Translator,
    is_average: bool,
    prices_as_of: LocalizedText | None,
) -> OutlookView:
    """Return the view of the outlook, the most urgent item first.

    `is_average` says whether the distance a year is the region's average, and not the store's own figure.
    `prices_as_of` is the day on which the prices were last checked.
    """
    outlook = condition.outlook
    lines = tuple(_line(item, condition, translator) for item in outlook.items)
    kinds = {line.is_own for line in lines if line.bar}
    about_ranges = ("outlook.honest", "outlook.average") if is_average else ("outlook.honest",)
    plan = upkeep.plan_view(condition, translator)
    return OutlookView(
        introduction=(
            translator.say("outlook.introduction", distance=a_year, day=condition.as_of),
            " ".join(translator.say(key, distance=a_year) for key in about_ranges),
        ),
        question=translator.say(f"outlook.your_distance_{outlook.unit}"),
        hint=translator.say("outlook.range_hint", least=LEAST_A_YEAR, most=MOST_A_YEAR),
        no_script=translator.say("outlook.no_script", distance=a_year),
        axis=tuple(translator.choice("band", band) for band in ON_THE_LINE),
        legend=tuple((own, translator.say(f"outlook.bar_{words}")) for own, words in BARS if own in kinds),
        groups=tuple(
            OutlookGroup(
                group,
                translator.say(f"outlook.group_{group}"),
                tuple(line for line, item in zip(lines, outlook.items, strict=True) if group_of(item) == group),
            )
            for group in GROUPS
        ),
        plan=plan,
        no_plan=translator.say("outlook.no_plan"),
        not_included=upkeep.not_included_words(outlook.named, translator),
        sums=tuple(translator.say(f"outlook.sum_{key}") for key in upkeep.SUMS),
        years=upkeep.year_views(condition, translator) if plan else (),
        assumes=_assumes(condition, translator) if plan else (),
        count_from_today=translator.say("outlook.count_from_today"),
        prices_as_of=translator.tell("outlook.prices_as_of", as_of=prices_as_of) if prices_as_of else None,
        notes=upkeep.note_words(outlook.named, translator),
        repairs=upkeep.repairs_words(condition, translator),
        terms=translator.catalog.explained("outlook", "least-most", "timing-belt"),
        unit=str(outlook.unit),
        a_year=outlook.a_year,
        least_a_year=LEAST_A_YEAR,
        most_a_year=MOST_A_YEAR,
        carried=_carried(condition, translator),
    )


def _assumes(condition: Condition, translator: Translator) -> tuple[str, ...]:
    """Return the assumptions of the sums, each with the source of its spread."""
    spreads = condition.facts.spreads
    ranges = {
        "price": spreads.price_range,
        "wear": (spreads.driver_low, spreads.driver_high),
        "distance": spreads.distance_range,
    }
    ends = {
        f"{name}_{end}": value
        for name, both in ranges.items()
        for end, value in zip(("low", "high"), both, strict=True)
    }
    sentences = [translator.say("outlook.assumes_range"), translator.say("outlook.assumes_spreads", **ends)]
    if condition.outlook.named.no_record:
        sentences.append(translator.say("outlook.if_done"))
    return tuple(sentences)


def _line(item: ItemOutlook, condition: Condition, translator: Translator) -> OutlookLineView:
    line = condition.line(item.key)
    cost = line.facts.cost
    return OutlookLineView(
        key=item.key,
        anchor=f"outlook-{item.key.replace('_', '-')}",
        item=translator.say(f"item.{item.key}"),
        when=_when(item, line, translator),
        time=_time(item, line, condition.as_of, translator),
        distance=None if item.budget_now else _distance(line, condition.facts.spreads, translator),
        distance_decides=_distance_decides(item),
        basis=join_texts(translator.tell_sentences(line.basis)),
        cost=upkeep.cost_words(cost, translator) if cost else None,
        bar=time_bar(item.months),
        is_own=_is_own(line),
    )


def _is_own(line: OutlookLine) -> bool:
    """Return whether a measurement of this vehicle decides: a finding, or the wear of its own part."""
    return line.known_by is KnownBy.MEASURED or any(said.key.startswith(OWN_WEAR) for said in line.basis)


def group_of(item: ItemOutlook) -> str:
    """Return the group that an item belongs to."""
    if item.budget_now:
        return "no_record"
    if item.not_measured:
        return "not_measured"
    return {Band.DUE_NOW: "now", Band.NO_BASIS: "no_basis"}.get(item.band_from, "coming")


def _when(item: ItemOutlook, line: OutlookLine, translator: Translator) -> str:
    """Return when an item falls due, in words: its band, or the two bands between which it falls.

    An item to budget for now, and one that was not measured, get a sentence of their own.
    """
    if item.budget_now:
        return translator.say("outlook.budget_now")
    if item.not_measured:
        return _not_measured(line, translator)
    first, last = translator.choice("band", item.band_from), translator.choice("band", item.band_to)
    return first if first == last else translator.say("outlook.from_to", first=first, last=last.lower())


def _not_measured(line: OutlookLine, translator: Translator) -> str:
    """Return the sentence that it could be due: it was not measured, or the odometer is not reliable."""
    measured = all("not_measured" not in said.key and "not_all_measured" not in said.key for said in line.basis)
    return translator.say("outlook.could_be_due" if measured else "outlook.not_measured")


def _distance_decides(item: ItemOutlook) -> bool:
    """Return whether the distance is shown. It is not if time alone decides, or if there is no basis."""
    is_dated = item.months is not None and not item.budget_now
    return is_dated and not item.by_time and item.band_to is not Band.DUE_NOW


def _time(item: ItemOutlook, line: OutlookLine, as_of: date, translator: Translator) -> str | None:
    """Return the time in words. None if "due now" or "no record" says it already."""
    if item.band_to is Band.DUE_NOW or item.months is None or item.budget_now:
        return None
    need = line.facts.need
    if item.by_time and need.days is not None:
        return _calendar(need.days, as_of, translator)
    if item.band_from is not Band.DUE_NOW:
        return _months(item.months, translator)
    by_age = need.days is not None and need.days.low == 0 and need.distance is not None and need.distance.low > 0
    return translator.say("outlook.by_age_any_time") if by_age else None


def _calendar(days: WholeSpan, as_of: date, translator: Translator) -> str | None:
    """Return the time as calendar months, which stay true whenever they are read.

    None if it may be due now and has no known end.
    """
    first = as_of + timedelta(days=days.low)
    last = None if days.high is None else as_of + timedelta(days=days.high)
    month, month_of_year = translator.formats.month, translator.formats.month_of_year
    if last is None:
        return translator.say("outlook.from_month", month=month_of_year(first)) if days.low else None
    if not days.low:
        return translator.say("outlook.until_month", month=month_of_year(last))
    if (first.year, first.month) == (last.year, last.month):
        return translator.say("outlook.in_month", month=month_of_year(last))
    begins = month(first) if first.year == last.year else month_of_year(first)
    return translator.say("outlook.between_months", first=begins, last=month_of_year(last))


def _months(months: WholeSpan, translator: Translator) -> str:
    if months.high is None:
        return translator.say("outlook.months_open", low=months.low)
    if months.low == 0:
        return translator.say("outlook.months_within", months=translator.formats.months(months.high))
    if months.low == months.high:
        return translator.say("outlook.months_same", months=translator.formats.months(months.low))
    return translator.say("outlook.months", low=months.low, high=months.high)


def _distance(line: OutlookLine, spreads: Spreads, translator: Translator) -> str | None:
    """Return the distance left in words. It does not depend on the miles a year.

    None for an item without a distance, not measured, or due already.

    For a part's own wear it includes the range of the next driver's wear, up to the greatest projected distance.
    """
    need = line.facts.need
    if need.distance is None or line.facts.not_measured:
        return None
    left = shown_thousands(shown_distance(need, spreads))
    if left.high == 0:
        return None
    unit = METRES_PER_MILE if translator.formats.distance_in_miles else Fraction(1000)
    low = translator.formats.distance(Distance(left.low * unit, ""))
    if left.high is None:
        return translator.say("outlook.distance_open", low=low)
    high = translator.formats.distance(Distance(left.high * unit, ""))
    if left.low in (0, left.high):
        return translator.say("outlook.distance_within" if left.low == 0 else "outlook.distance_same", high=high)
    return translator.say("outlook.distance", low=low, high=high)


def _carried(condition: Condition, translator: Translator) -> Markup:
    """Return the facts and messages for the script as JSON that is safe inside a script element."""
    formats, say = translator.formats, translator.catalog.messages
    words = {name: say[f"outlook.{name}"][0] for name in CARRIED_WORDS}
    carried = {
        "facts": outlook_facts(condition.facts),
        "counted_from": condition.as_of.isoformat(),
        "currency": formats.currency,
        "locale": formats.locale_tag,
        "bands": {str(band): translator.choice("band", band) for band in Band},
        "items": {item.key: translator.say(f"item.{item.key}") for item in condition.outlook.items},
        "list": {"comma": say["list.comma"][0], "last": say["list.last"][0]},
        "words": words,
        "costs": {
            line.facts.key: upkeep.cost_words(line.facts.cost, translator)
            for line in condition.lines
            if line.facts.cost
        },
        "unmeasured": {
            line.facts.key: _not_measured(line, translator) for line in condition.lines if line.facts.not_measured
        },
    }
    return script_json(carried)
