"""When each item needs doing at a given distance a year, and what that costs: whole numbers in, whole numbers out.

Nothing here knows of vehicles, dates or fractions: the facts are whole numbers that were rounded outward before (see
projection.py and intervals.py). So any language with exact integers below 2**53 works out the very same outlook.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sitegen.condition.basis.forecast import (
    Band,
    CostRange,
    ItemFacts,
    ItemOutlook,
    LeftOut,
    Outlook,
    OutlookFacts,
    WindowCost,
)
from sitegen.condition.basis.values import WholeSpan
from sitegen.condition.outlook.chances import chances_before
from sitegen.condition.outlook.occurrences import Needs, least_times, most_times
from sitegen.condition.outlook.plan import Spending, eight_in_ten, middle_of

YEARS = 3
WINDOWS = ((0, 1), (1, 2), (2, 3), (0, YEARS))
"""First, second and third year and all of them, as years from and until: closed at the start, open at the end."""
_ENDS = frozenset(end for _, end in WINDOWS)
A_DAY, A_MONTH, A_YEAR = 16, 487, 5_844
"""Ticks, for each unit of distance in a year: a year of 365.25 days, and of twelve months."""
BANDS = (Band.DUE_NOW, Band.FIRST_YEAR, Band.SECOND_YEAR, Band.THIRD_YEAR, Band.LATER, Band.NO_BASIS)


def outlook(facts: OutlookFacts, a_year: int, later: int = 0) -> Outlook:
    """Return the outlook of all items for `a_year` whole miles (or kilometres, as `facts.unit` says) a year.

    It starts `later` days after the day that the facts count from. Time has run meanwhile, and nothing was driven: so
    `later` is taken off all days, which do not go below zero, and off no distance.

    Time is counted in ticks, 16 * a_year in a day. So a year of 365.25 days has 5,844 * a_year, a twelfth of it is a
    month of 487 * a_year, and a distance d takes 5,844 * d. All are whole, and whichever comes first is the lesser.

    1. First need. earliest = the least of 5,844 * distance.low and 16 * a_year * days.low, of those that there are;
       latest = the same of the high ends. An open high end is left out; if none is left, latest is open. An item with
       neither distance nor days has no basis.
    2. Repeats. Once renewed it lasts as long as `again_distance` and `again_months` say, in the same way, each time
       anew. Without those it comes once.
    3. Windows. The first, second and third year and the three together, each by itself, closed at its start and open
       at its end: 10,000 miles at 10,000 a year are the second year. occurrences.py counts the least and the most.
    4. The middle is the mean, and 8 in 10 a range of the sum: see chances.py and plan.py. Where nobody knows a latest
       end, both take the earliest.
    5. Bands. t <= 0 is due now, then by year; after the third, or open, is later. An item with no record that may be
       due already (earliest 0) has no basis to say; its needs still count, and it is to be budgeted for now.
    6. Months shown: whole months, the earliest rounded down and the latest up.
    7. Costs: times the price, low with the least and high with the most. What a sum leaves out is named.
    8. Order: due now first; right after it what to budget for now, for want of a record, the dearest first; then by
       band_from, earliest, latest (open last), and as given. With no basis come last.
    9. What decides. Where days give both the earliest and the latest tick, no distance does: the item goes by time.
    10. Doubt. Where the odometer cannot be relied on, what goes by distance and has none is counted in the most as if
        it could come from the first day on, and there is no middle: doubt makes nothing look cheaper.

    5,000 miles to 12,000 miles left at 10,000 a year: 29,220,000 ticks are 6 months, 70,128,000 are 14.4, said as
    15. It may come in the first year, surely within the three.

    Raises ValueError unless `a_year` is at least 1, `later` at least 0, and every repeat at least one unit or month.
    """
    if a_year < 1:
        raise ValueError(f"a distance of {a_year} a year takes for ever")
    if later < 0:
        raise ValueError("nothing is known of days before the odometer was read")
    counted = [_later(item, later) for item in facts.items]
    schedules = [_schedule(item, a_year, facts.odometer_counts) for item in counted]
    places = sorted(range(len(schedules)), key=lambda place: (*schedules[place].urgency(), place))
    ordered = [schedules[place] for place in places]
    costs = [_window(ordered, number, facts.odometer_counts) for number in range(len(WINDOWS))]
    return Outlook(
        unit=facts.unit,
        a_year=a_year,
        items=tuple(schedule.item for schedule in ordered),
        years=(costs[0], costs[1], costs[2]),
        whole=costs[YEARS],
        left_out=_left_out(ordered),
    )


def outlook_facts(facts: OutlookFacts) -> dict[str, Any]:
    """Return the facts as plain values for JSON: spans are `[low, high]`, an open end and a missing span are null.

    {"unit": "mi", "items": [{"key": "front_tires", "distance": [18000, 31000], "days": null, "again_distance":
    [35000, 65000], "again_months": [72, 120], "cents": [24000, 52000], "no_record": false}],
    "odometer_counts": true}
    """

    def span(value: WholeSpan | None) -> list[int | None] | None:
        return None if value is None else [value.low, value.high]

    return {
        "unit": facts.unit.value,
        "items": [
            {
                "key": item.key,
                "distance": span(item.distance),
                "days": span(item.days),
                "again_distance": span(item.again_distance),
                "again_months": span(item.again_months),
                "cents": None if item.cost is None else [item.cost.low, item.cost.high],
                "no_record": item.no_record,
            }
            for item in facts.items
        ],
        "odometer_counts": facts.odometer_counts,
    }


def _later(item: ItemFacts, days: int) -> ItemFacts:
    left = item.days
    if left is None:
        return item
    high = None if left.high is None else max(left.high - days, 0)
    return replace(item, days=WholeSpan(max(left.low - days, 0), high))


@dataclass(frozen=True)
class _Schedule:
    item: ItemOutlook
    facts: ItemFacts
    first: tuple[int, int | None] | None
    """The earliest and the latest tick of the first need."""
    chances: Mapping[int, tuple[int, ...]]
    """By the year before which: of at least one, two, ... needs."""
    any_time: bool

    @property
    def cost(self) -> CostRange | None:
        """What doing it once costs."""
        return self.facts.cost

    def urgency(self) -> tuple[int, int, int, bool, int]:
        """Return what to sort by; an open end comes after every number."""
        earliest, latest = self.first or (0, None)
        return (
            _rank(self.item),
            -self.cost.high if self.item.budget_now and self.cost is not None else 0,
            earliest,
            latest is None,
            latest or 0,
        )


def _schedule(facts: ItemFacts, a_year: int, odometer_counts: bool) -> _Schedule:
    first = _first_ticks(facts.distance, facts.days, a_year)
    again = _ticks((facts.again_distance, A_YEAR), (facts.again_months, A_MONTH * a_year)) or (None, None)
    any_time = not odometer_counts and facts.again_distance is not None and facts.distance is None
    year = A_YEAR * a_year
    least, most, chances = _NEVER, _NEVER, {}
    if first is not None or any_time:
        earliest, latest = (0, None if first is None else first[1]) if any_time or first is None else first
        needs = Needs(earliest, latest, *again)
        least = tuple(least_times(needs, start * year, end * year) for start, end in WINDOWS)
        most = tuple(most_times(needs, start * year, end * year) for start, end in WINDOWS)
        if odometer_counts and facts.cost is not None:
            chances = {end: chances_before(needs, end * year) for end in _ENDS}
    return _Schedule(_item(facts, first, a_year, least, most), facts, first, chances, any_time)


_NEVER = (0,) * len(WINDOWS)


def _item(
    facts: ItemFacts,
    first: tuple[int, int | None] | None,
    a_year: int,
    least: tuple[int, ...],
    most: tuple[int, ...],
) -> ItemOutlook:
    if first is None:
        return ItemOutlook(facts.key, Band.NO_BASIS, Band.NO_BASIS, None, False, False, least, most)
    (earliest, latest), month = first, A_MONTH * a_year
    budget_now = facts.no_record and earliest == 0
    return ItemOutlook(
        key=facts.key,
        band_from=Band.NO_BASIS if budget_now else _band(earliest, A_YEAR * a_year),
        band_to=Band.NO_BASIS if budget_now else _band(latest, A_YEAR * a_year),
        months=WholeSpan(earliest // month, None if latest is None else _divide_up(latest, month)),
        budget_now=budget_now,
        by_time=_goes_by_time(facts, a_year),
        least=least,
        most=most,
    )


def _rank(item: ItemOutlook) -> int:
    """Return 0 for what is due now, 1 for what to budget for now, then the bands as they come."""
    place = BANDS.index(item.band_from)
    return 1 if item.budget_now else place + 1 if place else 0


def _goes_by_time(facts: ItemFacts, a_year: int) -> bool:
    """Tell whether days decide both ends, so that a distance beside them would only mislead."""
    by_time = _ticks((facts.days, A_DAY * a_year))
    return by_time is not None and by_time == _first_ticks(facts.distance, facts.days, a_year)


def _first_ticks(distance: WholeSpan | None, days: WholeSpan | None, a_year: int) -> tuple[int, int | None] | None:
    return _ticks((distance, A_YEAR), (days, A_DAY * a_year))


def _ticks(*spans: tuple[WholeSpan | None, int]) -> tuple[int, int | None] | None:
    """Return the earliest and the latest tick of whichever comes first, by spans and the ticks of one of their units.

    None if there is no span.
    """
    known = [(span, size) for span, size in spans if span is not None]
    if not known:
        return None
    ends = [span.high * size for span, size in known if span.high is not None]
    return min(span.low * size for span, size in known), min(ends, default=None)


def _band(tick: int | None, year: int) -> Band:
    if tick is None:
        return Band.LATER
    return Band.DUE_NOW if tick <= 0 else BANDS[min(tick // year, YEARS) + 1]


def _divide_up(number: int, by: int) -> int:
    return -(-number // by)


def _window(schedules: Sequence[_Schedule], number: int, odometer_counts: bool) -> WindowCost:
    """Add up what the priced items cost in one window."""
    priced = [(schedule, schedule.cost) for schedule in schedules if schedule.cost is not None]
    least = sum(cost.low * schedule.item.least[number] for schedule, cost in priced)
    most = sum(cost.high * schedule.item.most[number] for schedule, cost in priced)
    if not odometer_counts:
        return WindowCost(least, most, None)
    start, end = WINDOWS[number]
    until = _spendings(priced, end)
    means = sum(spending.doubled_mean for spending in until)
    if start > 0:
        means -= sum(spending.doubled_mean for spending in _spendings(priced, start))
    middle = min(max(middle_of(means), least), most)
    if start > 0:
        return WindowCost(least, most, middle)
    likely = eight_in_ten(until)
    return WindowCost(least, most, middle, CostRange(min(likely.low, middle), max(likely.high, middle)))


def _spendings(priced: Sequence[tuple[_Schedule, CostRange]], end: int) -> list[Spending]:
    return [Spending(schedule.chances[end], cost) for schedule, cost in priced if schedule.chances.get(end)]


def _left_out(schedules: Sequence[_Schedule]) -> LeftOut:
    def keys(chosen: Callable[[_Schedule], bool]) -> tuple[str, ...]:
        return tuple(schedule.item.key for schedule in schedules if chosen(schedule))

    return LeftOut(
        not_priced=keys(lambda found: found.cost is None and found.item.most[YEARS] > 0),
        no_basis=keys(lambda found: found.first is None and not found.any_time),
        any_time=keys(lambda found: found.any_time and found.cost is not None),
        at_once=keys(lambda found: found.first == (0, None) and found.cost is not None),
        no_record=keys(lambda found: found.item.budget_now and found.cost is not None),
    )
