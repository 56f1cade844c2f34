"""When each item needs doing at a given distance a year, and what that costs: whole numbers in, whole numbers out.

Nothing here knows of vehicles, dates or fractions: the facts are whole numbers that were rounded outward before (see
projection.py and intervals.py). So any language with exact integers below 2**53 works out the very same outlook.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sitegen.condition.basis.forecast import (
    Band,
    CostRange,
    ItemFacts,
    ItemOutlook,
    Outlook,
    OutlookFacts,
    WholeCost,
    YearCost,
)
from sitegen.condition.basis.values import WholeSpan

YEARS = 3
BANDS = (Band.DUE_NOW, Band.FIRST_YEAR, Band.SECOND_YEAR, Band.THIRD_YEAR, Band.LATER, Band.NO_BASIS)


def outlook(facts: OutlookFacts, a_year: int) -> Outlook:
    """Return the outlook of all items for `a_year` whole miles (or kilometres, as `facts.unit` says) a year.

    Time is counted in ticks: `a_year` ticks make a month, so a distance d takes 12 * d ticks and m months take
    m * a_year. Both are whole, and whichever comes first is the lesser.

    1. First need. earliest = the least of 12 * distance.low and a_year * months.low, of those that there are;
       latest = the same of the high ends. An open high end is left out; if none is left, latest is open. An item with
       neither distance nor months has no basis.
    2. Repeats. Need number k, from 0, comes between earliest + k * e and latest + k * l, where e and l are made of
       `again_distance` and `again_months` in the same way. Without those there is only need 0. If l is open, need 0
       keeps its latest and the others have none.
    3. Years. A need at tick t falls in year max(1, ceil(t / (12 * a_year))): 12 months to the day are the first year.
    4. Sure or possible. Needs are followed while their earliest year is 3 or less. A need whose earliest and latest
       year are the same surely comes in that year. Any other counts as possible in its earliest year; but if its
       latest year is 3 or less, it is sure in the three years together. So the years' sure and possible needs add
       up to the whole's, and what is sure in a year is sure.
    5. Bands. t <= 0 is due now, then by year; after the third, or open, is later. An item with no record that may be
       due already (earliest 0) has no basis to say; its needs still count, and it is to be budgeted for now.
    6. Months shown: floor(earliest / a_year) to ceil(latest / a_year).
    7. Costs: needs times the price, low and high apart. Items without a price are listed if they may come in 3 years.
    8. Order: due now first; right after it what to budget for now, for want of a record, the dearest first; then by
       band_from, earliest, latest (open last), and as given. With no basis come last.
    9. What decides. Where months give both the earliest and the latest tick, no distance does: the item goes by time.

    5,000 miles to 12,000 miles left at 10,000 a year: earliest 60,000 ticks is 6 months, latest 144,000 is 15 months
    (14.4 rounded up). It may come in the first year, surely within the three.

    Raises ValueError unless `a_year` is at least 1 and every repeat at least one unit or month.
    """
    if a_year < 1:
        raise ValueError(f"a distance of {a_year} a year takes for ever")
    schedules = [_schedule(item, a_year) for item in facts.items]
    places = sorted(range(len(schedules)), key=lambda place: (*schedules[place].urgency(), place))
    ordered = [schedules[place] for place in places]
    return Outlook(
        unit=facts.unit,
        a_year=a_year,
        items=tuple(schedule.item for schedule in ordered),
        years=(_year_cost(ordered, 1), _year_cost(ordered, 2), _year_cost(ordered, 3)),
        whole=WholeCost(
            _total([(schedule.cost, schedule.item.surely_in_all) for schedule in ordered]),
            _total([(schedule.cost, schedule.item.possibly_in_all) for schedule in ordered]),
        ),
        not_priced=tuple(
            schedule.item.key
            for schedule in ordered
            if schedule.cost is None and schedule.item.surely_in_all + schedule.item.possibly_in_all > 0
        ),
    )


def outlook_facts(facts: OutlookFacts) -> dict[str, Any]:
    """Return the facts as plain values for JSON: spans are `[low, high]`, an open end and a missing span are null.

    {"unit": "mi", "items": [{"key": "front_tires", "distance": [18000, 31000], "months": null, "again_distance":
    [35000, 65000], "again_months": [72, 120], "cents": [24000, 52000], "no_record": false}]}
    """

    def span(value: WholeSpan | None) -> list[int | None] | None:
        return None if value is None else [value.low, value.high]

    return {
        "unit": facts.unit.value,
        "items": [
            {
                "key": item.key,
                "distance": span(item.distance),
                "months": span(item.months),
                "again_distance": span(item.again_distance),
                "again_months": span(item.again_months),
                "cents": None if item.cost is None else [item.cost.low, item.cost.high],
                "no_record": item.no_record,
            }
            for item in facts.items
        ],
    }


@dataclass(frozen=True)
class _Schedule:
    item: ItemOutlook
    cost: CostRange | None
    earliest: int | None
    latest: int | None

    def urgency(self) -> tuple[int, int, int, bool, int]:
        """Return what to sort by; an open end comes after every number."""
        return (
            _rank(self.item),
            -self.cost.high if self.item.budget_now and self.cost is not None else 0,
            self.earliest or 0,
            self.latest is None,
            self.latest or 0,
        )


def _schedule(facts: ItemFacts, a_year: int) -> _Schedule:
    first = _ticks(facts.distance, facts.months, a_year)
    if first is None:
        nothing = ItemOutlook(facts.key, Band.NO_BASIS, Band.NO_BASIS, None, False, False, (0, 0, 0), (0, 0, 0), 0, 0)
        return _Schedule(nothing, facts.cost, None, None)
    again = _ticks(facts.again_distance, facts.again_months, a_year)
    surely, possibly, surely_in_all, possibly_in_all = _needs(first, again, 12 * a_year)
    earliest, latest = first
    budget_now = facts.no_record and earliest == 0
    item = ItemOutlook(
        key=facts.key,
        band_from=Band.NO_BASIS if budget_now else _band(earliest, 12 * a_year),
        band_to=Band.NO_BASIS if budget_now else _band(latest, 12 * a_year),
        months=WholeSpan(earliest // a_year, None if latest is None else _divide_up(latest, a_year)),
        budget_now=budget_now,
        by_time=_goes_by_time(facts, a_year),
        surely=surely,
        possibly=possibly,
        surely_in_all=surely_in_all,
        possibly_in_all=possibly_in_all,
    )
    return _Schedule(item, facts.cost, earliest, latest)


def _rank(item: ItemOutlook) -> int:
    """Return 0 for what is due now, 1 for what to budget for now, then the bands as they come."""
    place = BANDS.index(item.band_from)
    return 1 if item.budget_now else place + 1 if place else 0


def _goes_by_time(facts: ItemFacts, a_year: int) -> bool:
    """Tell whether months decide both ends, so that a distance beside them would only mislead."""
    if facts.months is None or facts.distance is None:
        return facts.months is not None
    months, distance = facts.months, facts.distance
    last = months.high is not None and (distance.high is None or months.high * a_year <= distance.high * 12)
    return last and months.low * a_year <= distance.low * 12


def _ticks(distance: WholeSpan | None, months: WholeSpan | None, a_year: int) -> tuple[int, int | None] | None:
    """Return the earliest and the latest tick of whichever comes first; None if there is neither."""
    spans = [(span, size) for span, size in ((distance, 12), (months, a_year)) if span is not None]
    if not spans:
        return None
    ends = [span.high * size for span, size in spans if span.high is not None]
    return min(span.low * size for span, size in spans), min(ends, default=None)


def _needs(
    first: tuple[int, int | None], again: tuple[int, int | None] | None, year: int
) -> tuple[tuple[int, int, int], tuple[int, int, int], int, int]:
    """Count the needs of three years: sure by year, possible by year, sure in all, possible in all."""
    surely, possibly = [0] * YEARS, [0] * YEARS
    surely_in_all = possibly_in_all = 0
    earliest, latest = first
    if again is not None and again[0] < 1:
        raise ValueError("what is renewed must last at least one unit of distance or one month")
    while _year(earliest, year) <= YEARS:
        place = _year(earliest, year) - 1
        last_place = None if latest is None else _year(latest, year) - 1
        if last_place == place:
            surely[place] += 1
        else:
            possibly[place] += 1
        if last_place is not None and last_place < YEARS:
            surely_in_all += 1
        else:
            possibly_in_all += 1
        if again is None:
            break
        earliest += again[0]
        latest = None if latest is None or again[1] is None else latest + again[1]
    return (surely[0], surely[1], surely[2]), (possibly[0], possibly[1], possibly[2]), surely_in_all, possibly_in_all


def _year(tick: int, year: int) -> int:
    return max(1, _divide_up(tick, year))


def _band(tick: int | None, year: int) -> Band:
    if tick is None:
        return Band.LATER
    return Band.DUE_NOW if tick <= 0 else BANDS[min(_year(tick, year), YEARS + 1)]


def _divide_up(number: int, by: int) -> int:
    return -(-number // by)


def _year_cost(schedules: list[_Schedule], year: int) -> YearCost:
    return YearCost(
        year,
        _total([(schedule.cost, schedule.item.surely[year - 1]) for schedule in schedules]),
        _total([(schedule.cost, schedule.item.possibly[year - 1]) for schedule in schedules]),
    )


def _total(parts: list[tuple[CostRange | None, int]]) -> CostRange:
    priced = [(cost, times) for cost, times in parts if cost is not None]
    return CostRange(
        sum(cost.low * times for cost, times in priced), sum(cost.high * times for cost, times in priced)
    )
