"""The predictive distribution of the cost of the priced items within a period.

Three things vary for a whole vehicle: the price level, how fast the next driver wears it, and the distance a year. A
sum is the mixture, over equally likely levels of wear and distance, of exact convolutions of the items, each then
multiplied by a level of the price.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sitegen.condition.basis.forecast import CostRange, ItemFacts, NeedFacts, PlanFigure, Spreads, WindowCost
from sitegen.condition.basis.values import WholeSpan
from sitegen.condition.outlook.chances import CERTAIN, Needs, chances_before
from sitegen.condition.outlook.distribution import STEPS, Shares, Spending, mixed, sum_of
from sitegen.condition.outlook.plan import plan_figure

A_DAY, A_MONTH, A_YEAR = 16, 487, 5_844
"""Ticks, for each hundredth of a unit of distance in a year: a year of 365.25 days, and of twelve months."""
USUAL = 100
"""The expected level of wear and of distance, in hundredths."""


@dataclass(frozen=True)
class Rate:
    """The distance a year, in whole units, and the levels of wear and of distance, in hundredths."""

    a_year: int
    wear: int = USUAL
    distance: int = USUAL

    @property
    def size(self) -> int:
        """Return the factor of all ticks that keeps divisions by levels whole."""
        return self.a_year * USUAL * self.wear * self.distance


def first_need(need: NeedFacts, rate: Rate) -> tuple[int, int | None] | None:
    """Return the earliest and the latest tick of distance or days, whichever comes first. None without either.

    A distance d, in hundredths of the unit, takes 5,844 * 100 * wear * d ticks if it does not depend on the driver,
    and 5,844 * 100 * 100 * d if it does. The upper limit for a distance does not depend on the driver.
    """
    by_driver = A_YEAR * USUAL * USUAL if need.own_wear else A_YEAR * USUAL * rate.wear
    spans = [
        _scaled(need.distance, by_driver),
        _scaled(need.most_distance, A_YEAR * USUAL * rate.wear) if need.distance else None,
        _scaled(need.days, A_DAY * rate.size),
    ]
    return earliest_of(spans)


def again_need(item: ItemFacts, rate: Rate) -> tuple[int, int | None] | None:
    """Return how long the renewed item lasts, in ticks. None if it does not repeat."""
    by_distance = _scaled(item.again_distance, A_YEAR * USUAL * rate.wear)
    return earliest_of([by_distance, _scaled(item.again_months, A_MONTH * rate.size)])


def earliest_of(spans: Sequence[tuple[int, int | None] | None]) -> tuple[int, int | None] | None:
    """Return the earliest of several spans: the least low end, and the least high end that is known."""
    known = [span for span in spans if span is not None]
    if not known:
        return None
    return min(low for low, _ in known), min((high for _, high in known if high is not None), default=None)


def _scaled(span: WholeSpan | None, size: int) -> tuple[int, int | None] | None:
    if span is None:
        return None
    return span.low * size, None if span.high is None else span.high * size


def chances_of(
    item: ItemFacts, budget_now: bool, worst: bool, rate: Rate, years: int, spreads: Spreads
) -> tuple[int, ...]:
    """Return the probabilities of at least one, two, ... needs within `years`.

    An item without a record is done at once, in another sum. Here it repeats from then on.
    """
    need, _ = item.scenario(worst)
    again = again_need(item, rate)
    first = again if budget_now else first_need(need, rate)
    if first is None:
        return ()
    needs = Needs(*first, *(again or (None, None)))
    return chances_before(needs, years * A_YEAR * rate.size, spreads.may_be_due)


@dataclass(frozen=True)
class Priced:
    """An item with a price, and whether it has no record. Doing it once now is then in a sum of its own."""

    item: ItemFacts
    budget_now: bool

    def cost(self, worst: bool) -> CostRange:
        """Return the cost of doing it once, in the worst case if `worst`. Raises ValueError if it has no price."""
        _, cost = self.item.scenario(worst)
        if cost is None:
            raise ValueError(f"{self.item.key} has no price")
        return cost

    def goes_by(self, worst: bool) -> str:
        """Return the levels that its probabilities depend on: "wear", "distance" or "time"."""
        need = self.item.scenario(worst)[0]
        if need.own_wear and not self.budget_now:
            return "wear"
        first = None if self.budget_now else need.distance
        return "distance" if first or self.item.again_distance else "time"


def no_record_figure(priced: Sequence[Priced], spreads: Spreads) -> PlanFigure:
    """Return the cost of doing all items without a record now."""
    now = _done_now(priced)
    step = _step(sum(spending.cost.high for spending in now))
    shares = Shares(sum_of(now, step), step, spreads.price)
    doubled = sum(spending.cost.low + spending.cost.high for spending in now)
    return plan_figure(_mean(CERTAIN * doubled, 1, spreads), shares, shares)


def window_cost(priced: Sequence[Priced], a_year: int, years: int, spreads: Spreads) -> WindowCost:
    """Return the cost of the items due within `years`, without and with all items without a record done now."""
    now = _done_now(priced)
    scenarios = [_Scenario(priced, worst, a_year, years, spreads) for worst in (False, True)]
    sure = sum(spending.cost.high for spending in now)
    shares = []
    for scenario in scenarios:
        step = _step(scenario.most + sure)
        due = scenario.distribution(step)
        shares.append((Shares(due, step, spreads.price), Shares(sum_of(now, step, due), step, spreads.price)))
    combinations = len(spreads.wear) * len(spreads.distance)
    means = sum(
        scenarios[priced_item.item.not_measured].doubled_mean(place) for place, priced_item in enumerate(priced)
    )
    at_once = CERTAIN * combinations * sum(spending.cost.low + spending.cost.high for spending in now)
    (known, known_total), (worst, worst_total) = shares
    return WindowCost(
        due=plan_figure(_mean(means, combinations, spreads), known, worst),
        total=plan_figure(_mean(means + at_once, combinations, spreads), known_total, worst_total),
    )


class _Scenario:
    """The probabilities of each priced item at each level, as they are known or at their worst."""

    def __init__(self, priced: Sequence[Priced], worst: bool, a_year: int, years: int, spreads: Spreads) -> None:
        self._priced, self._worst, self._spreads = priced, worst, spreads
        self._chances = [
            {
                (wear, distance): chances_of(
                    one.item, one.budget_now, worst, Rate(a_year, wear, distance), years, spreads
                )
                for wear, distance in self._levels(one)
            }
            for one in priced
        ]

    def _levels(self, one: Priced) -> Iterator[tuple[int, int]]:
        """Yield the levels of wear and distance that the probabilities of an item depend on."""
        goes_by = one.goes_by(self._worst)
        for wear in self._spreads.wear if goes_by == "wear" else (USUAL,):
            for distance in (USUAL,) if goes_by == "time" else self._spreads.distance:
                yield wear, distance

    @property
    def most(self) -> int:
        """Return the greatest possible total at list prices."""
        return sum(
            max(map(len, chances.values())) * one.cost(self._worst).high
            for one, chances in zip(self._priced, self._chances, strict=True)
        )

    def doubled_mean(self, place: int) -> int:
        """Return twice the mean of one item, in parts of `CERTAIN`, summed over all combinations of levels."""
        chances, cost = self._chances[place], self._priced[place].cost(self._worst)
        times = len(self._spreads.wear) * len(self._spreads.distance) // len(chances)
        return times * sum(map(sum, chances.values())) * (cost.low + cost.high)

    def distribution(self, step: int) -> list[int]:
        """Return the distribution of the sum: by time first, then by distance, then by wear."""
        by_time = sum_of(self._at("time", USUAL, USUAL), step)
        parts = []
        for distance in self._spreads.distance:
            by_distance = sum_of(self._at("distance", USUAL, distance), step, by_time)
            parts += [sum_of(self._at("wear", wear, distance), step, by_distance) for wear in self._spreads.wear]
        return mixed(parts)

    def _at(self, goes_by: str, wear: int, distance: int) -> list[Spending]:
        spendings = [
            Spending(chances[wear, distance], one.cost(self._worst))
            for one, chances in zip(self._priced, self._chances, strict=True)
            if one.goes_by(self._worst) == goes_by
        ]
        return [spending for spending in spendings if spending.chances]


def _done_now(priced: Sequence[Priced]) -> list[Spending]:
    return [Spending((CERTAIN,), one.cost(worst=False)) for one in priced if one.budget_now]


def _step(most: int) -> int:
    return max(1, -(-most // STEPS))


def _mean(doubled: int, combinations: int, spreads: Spreads) -> int:
    """Return the mean in hundredths, rounded down, at the mean price level."""
    levels = spreads.price
    return doubled * sum(levels) // (2 * CERTAIN * combinations * 1000 * len(levels))
