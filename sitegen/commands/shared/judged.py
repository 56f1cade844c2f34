"""What the vehicles' figures mean: judged when first asked for, and not at all where nobody asks.

Most vehicles are as they were in the build before, whose pages and cards are remembered; of those only whether they
may go out is needed, and that is remembered too.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from functools import cache

from sitegen.commands.memory.sealed_memory import SealedMemory
from sitegen.condition.basis.findings import Condition
from sitegen.condition.judging import judge
from sitegen.records.figures import Figures
from sitegen.records.store import Store, miles_a_year
from sitegen.records.vehicle import Status

_MAY_GO_OUT = b"may go out"


class Conditions(Mapping[str, Condition]):
    """The condition of each vehicle, by stock."""

    def __init__(self, stocks: Collection[str], judged: Callable[[str], Condition]) -> None:
        self._stocks, self._judged = dict.fromkeys(stocks), judged

    def __getitem__(self, stock: str) -> Condition:
        """Return what is judged of a vehicle. Raises KeyError for one that is not among these."""
        if stock not in self._stocks:
            raise KeyError(stock)
        return self._judged(stock)

    def __contains__(self, stock: object) -> bool:
        """Tell whether a vehicle is among these, without judging it."""
        return stock in self._stocks

    def __iter__(self) -> Iterator[str]:
        """Yield the stock of every vehicle, in the order of the store."""
        return iter(self._stocks)

    def __len__(self) -> int:
        """Count the vehicles."""
        return len(self._stocks)

    def of(self, stocks: Collection[str]) -> Conditions:
        """Return the same of those that are named."""
        return Conditions([stock for stock in self if stock in stocks], self._judged)


def conditions_of(store: Store, figures: Figures) -> Conditions:
    """Return the condition of every vehicle that is not still being prepared."""
    a_year = miles_a_year(store.settings, figures.region.average_a_year.value)
    records = (vehicle.record for vehicle in store.vehicles)
    asked = {record.stock: record for record in records if record.status is not Status.PREPARING}
    return Conditions(asked, cache(lambda stock: judge(asked[stock], figures, store.prices, a_year)))


def may_go_out(conditions: Conditions, store: Store, memory: SealedMemory) -> frozenset[str]:
    """Return the vehicles that the gate lets out, which hangs on the record and the figures of the region alone."""
    return frozenset(stock for stock in conditions if _may_go_out(stock, conditions, store.read_from(stock), memory))


def _may_go_out(stock: str, conditions: Conditions, read_from: str | None, memory: SealedMemory) -> bool:
    name = f"{stock}.gate"
    if read_from is not None and memory.recall(name, read_from) == _MAY_GO_OUT:
        return True
    may = conditions[stock].gate.may_publish
    if may and read_from is not None:
        memory.keep(name, read_from, _MAY_GO_OUT)
    return may
