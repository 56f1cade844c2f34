"""Compute when each item falls due at a given distance a year, and what that costs. Whole numbers in and out.

This module uses no vehicles, dates or fractions: the facts are whole numbers that were rounded outward before (see
projection.py and intervals.py). So any language with exact integers computes the same outlook.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sitegen.condition.basis.forecast import (
    Band,
    ItemFacts,
    ItemOutlook,
    NamedItems,
    NeedFacts,
    Outlook,
    OutlookFacts,
    Spreads,
)
from sitegen.condition.basis.values import WholeSpan
from sitegen.condition.outlook.sums import (
    A_DAY,
    A_MONTH,
    A_YEAR,
    USUAL,
    Priced,
    Rate,
    earliest_of,
    first_need,
    no_record_figure,
    window_cost,
)

YEARS = 3
BANDS = (Band.DUE_NOW, Band.FIRST_YEAR, Band.SECOND_YEAR, Band.THIRD_YEAR, Band.LATER, Band.NO_BASIS)


def outlook(facts: OutlookFacts, a_year: int, later: int = 0, done: Collection[str] = ()) -> Outlook:
    """Return the outlook of all items for `a_year` whole miles (or kilometres, as `facts.unit` says) a year.

    `done` are the keys of items that are done just before it starts: each next falls due as if it were renewed then,
    and one that does not come again is left out.

    It starts `later` days after the day that the facts count from. Time has run meanwhile, and nothing was driven: so
    `later` is taken off all days, which do not go below zero, and off no distance.

    Time is counted in ticks (see sums.py), in which a year, a month, a day and every distance are whole.

    1. First need. Whichever comes first of distance and days: the least of the low ends, and of the high ends that
       there are. An item with neither has no basis.
    2. Lines show a part's own wear with the range of the next driver's: low end over the most, high end over the
       least, held to the most that is counted on.
    3. Repeats. Once renewed it lasts as long as `again_distance` and `again_months` say, in the same way.
    4. Bands. t <= 0 is due now, then by year; after the third, or open, is later. An item with no record that may be
       due already (earliest 0, or nothing to go by) has no basis to say: it is to be budgeted for now. So has an item
       that was not measured: it could be due now.
    5. Months shown: whole months, the earliest rounded down and the latest up.
    6. Sums. What is due in the first year and in three; what has no record, all of it done at once; and both
       together. Low ends follow from what is known, high ends from the worst that it may be; see sums.py and plan.py.
    7. Order: due now first; then what to budget for, for want of a record, and what was not measured, the dearest
       first; then by band_from, earliest, latest (open last), and as given. With no basis come last.
    8. What decides. Where days give both the earliest and the latest tick, no distance does: the item goes by time.

    5,000 miles to 12,000 miles left at 10,000 a year: 6 months to 14.4, said as 15.

    Raises ValueError unless `a_year` is at least 1, `later` at least 0, and every repeat at least one unit or month.
    """
    if a_year < 1:
        raise ValueError(f"a distance of {a_year} a year takes for ever")
    if later < 0:
        raise ValueError("nothing is known of days before the odometer was read")
    counted = [_just_done(item) if item.key in done else _later(item, later) for item in facts.items]
    counted = [item for item in counted if item.key not in done or item.need != _NEVER]
    lines = [_line(item, a_year, facts.spreads) for item in counted]
    places = sorted(range(len(lines)), key=lambda place: (*lines[place].urgency(), place))
    ordered = [lines[place] for place in places]
    priced = [Priced(line.facts, line.item.budget_now) for line in ordered if line.facts.cost is not None]
    return Outlook(
        unit=facts.unit,
        a_year=a_year,
        items=tuple(line.item for line in ordered),
        first_year=window_cost(priced, a_year, 1, facts.spreads),
        whole=window_cost(priced, a_year, YEARS, facts.spreads),
        no_record=no_record_figure(priced, facts.spreads),
        named=_named(ordered, a_year),
    )


def outlook_facts(facts: OutlookFacts) -> dict[str, Any]:
    """Return the facts as plain values for JSON: spans are `[low, high]`, an open end and a missing span are null.

    {"unit": "mi", "items": [{"key": "front_tires", "need": {"distance": [1_800_000, 3_100_000], "days": null,
    "own_wear": true, "most_distance": null}, "again_distance": [3_500_000, 6_500_000], "again_months": [72, 120],
    "cents": [24000, 52000], "no_record": false, "not_measured": false, "worst": null, "worst_cents": null}],
    "spreads": {"price": [...], ...}}
    """

    def need(value: NeedFacts | None) -> dict[str, Any] | None:
        if value is None:
            return None
        return {
            "distance": _plain(value.distance),
            "days": _plain(value.days),
            "own_wear": value.own_wear,
            "most_distance": _plain(value.most_distance),
        }

    spreads = facts.spreads
    return {
        "unit": facts.unit.value,
        "items": [
            {
                "key": item.key,
                "need": need(item.need),
                "again_distance": _plain(item.again_distance),
                "again_months": _plain(item.again_months),
                "cents": None if item.cost is None else [item.cost.low, item.cost.high],
                "no_record": item.no_record,
                "not_measured": item.not_measured,
                "worst": need(item.worst),
                "worst_cents": None if item.worst_cost is None else [item.worst_cost.low, item.worst_cost.high],
            }
            for item in facts.items
        ],
        "spreads": {
            "price": list(spreads.price),
            "wear": list(spreads.wear),
            "distance": list(spreads.distance),
            "driver": [spreads.driver_low, spreads.driver_high],
            "may_be_due": spreads.may_be_due,
        },
    }


def _plain(span: WholeSpan | None) -> list[int | None] | None:
    return None if span is None else [span.low, span.high]


_NEVER = NeedFacts(None, None)


def _just_done(item: ItemFacts) -> ItemFacts:
    """Return an item as it is right after it was done: it comes again once its interval is over.

    A month has 487 / 16 = 30.4375 days. 12 to 24 months are 365 to 731 days, rounded outward.
    """
    months = item.again_months
    days = None
    if months is not None:
        high = None if months.high is None else -(-months.high * A_MONTH // A_DAY)
        days = WholeSpan(months.low * A_MONTH // A_DAY, high)
    need = NeedFacts(item.again_distance, days)
    return replace(item, need=need, no_record=False, not_measured=False, worst=None, worst_cost=None)


def _later(item: ItemFacts, days: int) -> ItemFacts:
    if not days:
        return item
    worst = None if item.worst is None else _need_later(item.worst, days)
    return replace(item, need=_need_later(item.need, days), worst=worst)


def _need_later(need: NeedFacts, days: int) -> NeedFacts:
    left = need.days
    if left is None:
        return need
    high = None if left.high is None else max(left.high - days, 0)
    return replace(need, days=WholeSpan(max(left.low - days, 0), high))


@dataclass(frozen=True)
class _Line:
    item: ItemOutlook
    facts: ItemFacts
    shown: tuple[int, int | None] | None
    """The earliest and the latest tick of the first need, for the range of the next driver's wear."""

    @property
    def is_for_now(self) -> bool:
        """Return whether it is to be budgeted for now, without being known to be due."""
        return self.item.budget_now or self.item.not_measured

    def urgency(self) -> tuple[int, int, int, bool, int]:
        """Return a sort key. An unknown end comes after every number."""
        earliest, latest = self.shown or (0, None)
        cost = self.facts.cost
        return (
            self._rank(),
            -cost.high if self.is_for_now and cost is not None else 0,
            earliest,
            latest is None,
            latest or 0,
        )

    def _rank(self) -> int:
        """Return 0 for due now, 1 without a record, 2 not measured, then 3 and up for the bands in order."""
        if self.item.budget_now:
            return 1
        if self.item.not_measured:
            return 2
        place = BANDS.index(self.item.band_from)
        return place + 2 if place else 0


def _line(facts: ItemFacts, a_year: int, spreads: Spreads) -> _Line:
    rate = Rate(a_year, spreads.driver_low, spreads.driver_high)
    shown = shown_need(facts.need, rate)
    budget_now = facts.no_record and (shown is None or shown[0] == 0)
    bands, months = (Band.NO_BASIS, Band.NO_BASIS), None
    if shown is not None and not facts.not_measured:
        earliest, latest = shown
        year, month = A_YEAR * rate.size, A_MONTH * rate.size
        months = WholeSpan(earliest // month, None if latest is None else -(-latest // month))
        if not budget_now:
            bands = (_band(earliest, year), _band(latest, year))
    item = ItemOutlook(
        key=facts.key,
        band_from=bands[0],
        band_to=bands[1],
        months=months,
        budget_now=budget_now,
        by_time=_goes_by_time(facts.need, rate, shown),
        not_measured=facts.not_measured and not budget_now,
    )
    return _Line(item, facts, shown)


def shown_need(need: NeedFacts, rate: Rate) -> tuple[int, int | None] | None:
    """Return the first need as lines show it; `rate` holds the least and the most of the next driver's wear.

    In ticks that both divide: a part's own distance d takes 5,844 * 100 * 100 * d * (least) at its low end, as
    everything else takes (least * most) / 100 times as many as usual.
    """
    least, most = rate.wear, rate.distance
    usual = A_YEAR * least * most
    low, high = (USUAL * A_YEAR * least, USUAL * A_YEAR * most) if need.own_wear else (usual, usual)
    distance = None
    if need.distance is not None:
        far = need.distance.high
        distance = (need.distance.low * low, None if far is None else far * high)
    held = need.most_distance if need.distance is not None else None
    return earliest_of(
        [
            distance,
            None if held is None else (held.low * usual, None if held.high is None else held.high * usual),
            _by_days(need, rate),
        ]
    )


def shown_distance(need: NeedFacts, spreads: Spreads) -> WholeSpan:
    """Return the distance left as lines show it, in hundredths of the unit, rounded outward. Raises ValueError if the
    item does not go by distance.

    18,000 to 31,000 mi of own wear, at 0.7 to 1.3 of the last driver's: 13,846 to 44,286 mi.
    """
    if need.distance is None:
        raise ValueError("it does not go by distance")
    low, high = need.distance.low, need.distance.high
    if need.own_wear:
        low = low * USUAL // spreads.driver_high
        high = None if high is None else -(-high * USUAL // spreads.driver_low)
    if need.most_distance is None:
        return WholeSpan(low, high)
    ends = [end for end in (high, need.most_distance.high) if end is not None]
    return WholeSpan(min(low, need.most_distance.low), min(ends, default=None))


def _by_days(need: NeedFacts, rate: Rate) -> tuple[int, int | None] | None:
    if need.days is None:
        return None
    day = A_DAY * rate.size
    return need.days.low * day, None if need.days.high is None else need.days.high * day


def _goes_by_time(need: NeedFacts, rate: Rate, shown: tuple[int, int | None] | None) -> bool:
    """Return whether days decide both ends, so that a distance beside them would mislead."""
    by_days = _by_days(need, rate)
    return by_days is not None and by_days == shown


def _band(tick: int | None, year: int) -> Band:
    if tick is None:
        return Band.LATER
    return Band.DUE_NOW if tick <= 0 else BANDS[min(tick // year, YEARS) + 1]


def _named(lines: Sequence[_Line], a_year: int) -> NamedItems:
    def keys(chosen: Callable[[_Line], bool]) -> tuple[str, ...]:
        return tuple(line.item.key for line in lines if chosen(line))

    def may_come(line: _Line) -> bool:
        first = first_need(line.facts.scenario(worst=True)[0], Rate(a_year))
        return line.item.budget_now or (first is not None and first[0] < YEARS * A_YEAR * Rate(a_year).size)

    def is_worse(line: _Line) -> bool:
        """Return whether the high end counts the line as due now, or dearer, although that is not known."""
        if line.facts.worst_cost is not None:
            return True
        first = None if line.facts.worst is None else first_need(line.facts.worst, Rate(a_year))
        return first is not None and first[0] == 0 and (line.shown is None or line.shown[1] != 0)

    return NamedItems(
        not_priced=keys(lambda line: line.facts.cost is None and may_come(line)),
        no_basis=keys(lambda line: not may_come(line) and line.shown is None and not line.item.budget_now),
        not_measured=keys(lambda line: line.item.not_measured and line.facts.cost is not None),
        at_worst=keys(lambda line: line.facts.cost is not None and not line.is_for_now and is_worse(line)),
        no_record=keys(lambda line: line.item.budget_now and line.facts.cost is not None),
    )
