"""The condition of each vehicle, judged when it is read."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from functools import lru_cache

from sitegen.condition.basis.findings import Condition, Gate
from sitegen.condition.judging import judge, judge_gate
from sitegen.records.figures import Figures
from sitegen.records.store import Store, miles_a_year
from sitegen.records.vehicle import Status

_HELD = 256
"""The number of conditions that are held in memory. Pages in several languages read each more than once."""


class Conditions(Mapping[str, Condition]):
    """The condition of each vehicle, by stock number."""

    def __init__(self, stocks: Collection[str], judge_one: Callable[[str], Condition]) -> None:
        self._stocks, self._judge = dict.fromkeys(stocks), judge_one

    def __getitem__(self, stock: str) -> Condition:
        """Judge a vehicle. Raises KeyError for one that is not among these."""
        if stock not in self._stocks:
            raise KeyError(stock)
        return self._judge(stock)

    def __contains__(self, stock: object) -> bool:
        """Return whether a vehicle is among these, without judging it."""
        return stock in self._stocks

    def __iter__(self) -> Iterator[str]:
        """Yield the stock number of each vehicle, in the store's order."""
        return iter(self._stocks)

    def __len__(self) -> int:
        """Return the number of vehicles."""
        return len(self._stocks)

    def of(self, stocks: Collection[str]) -> Conditions:
        """Return the conditions of those of these vehicles that have the given stock numbers."""
        return Conditions([stock for stock in self if stock in stocks], self._judge)


def conditions_of(store: Store, figures: Figures) -> Conditions:
    """Return the condition of every vehicle that is not in preparation."""
    a_year = miles_a_year(store.settings, figures.region.average_a_year.value)
    records = {
        vehicle.record.stock: vehicle.record
        for vehicle in store.vehicles
        if vehicle.record.status is not Status.PREPARING
    }
    return Conditions(records, lru_cache(_HELD)(lambda stock: judge(records[stock], figures, store.prices, a_year)))


def gates_of(store: Store, stocks: Collection[str], figures: Figures) -> dict[str, Gate]:
    """Return the gate's decision on each of these vehicles, by stock number."""
    vehicles = (vehicle for vehicle in store.vehicles if vehicle.record.stock in stocks)
    return {vehicle.record.stock: judge_gate(vehicle.record, figures, vehicle.clips) for vehicle in vehicles}
