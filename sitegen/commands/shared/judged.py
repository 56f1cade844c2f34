"""The condition of each vehicle, judged on first access.

Most vehicles are unchanged since the last build, and their pages and cards are cached. Of those only the gate's
decision is needed, which is cached too. Conditions that were judged lie in a disk-backed store.
"""

from __future__ import annotations

import pickle
from collections.abc import Collection, Iterator, Mapping, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass

from sitegen.condition.basis.findings import Condition, Gate
from sitegen.condition.judging import judge, judge_gate
from sitegen.engine.engine import Engine
from sitegen.engine.reader import Reader
from sitegen.engine.task import JSON, task
from sitegen.engine.workers import run_bounded
from sitegen.reading.vehicle_task import FIGURES, SETTINGS, vehicle_result
from sitegen.records.figures import Figures
from sitegen.records.money.prices import PriceList
from sitegen.records.quantities import Distance
from sitegen.records.store import Store, miles_a_year
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shelf import Packed, Shelf, packed

JUDGED_HERE = 200
"""Up to this many vehicles are judged here. Starting workers would take longer."""
AT_ONCE = 25
"""Vehicles in one batch for a worker."""
MEGABYTES_OF_RECORDS = 20.0
"""The approximate upper limit of the memory of one batch."""


class Conditions(Mapping[str, Condition]):
    """The condition of each vehicle, by stock."""

    def __init__(self, stocks: Collection[str], judged: _Judged) -> None:
        self._stocks, self._judged = dict.fromkeys(stocks), judged

    def __getitem__(self, stock: str) -> Condition:
        """Return the condition of a vehicle. Raises KeyError for a vehicle that is not in the mapping."""
        if stock not in self._stocks:
            raise KeyError(stock)
        return self._judged.of(stock)

    def __contains__(self, stock: object) -> bool:
        """Return whether a vehicle is in the mapping, without judging it."""
        return stock in self._stocks

    def __iter__(self) -> Iterator[str]:
        """Yield the stock of every vehicle, in the order of the store."""
        return iter(self._stocks)

    def __len__(self) -> int:
        """Return the number of vehicles."""
        return len(self._stocks)

    def gate(self, stock: str) -> Gate:
        """Return the gate's decision on a vehicle without judging the rest.

        Raises KeyError for an unknown vehicle.
        """
        if stock not in self._stocks:
            raise KeyError(stock)
        return self._judged.gate(stock)

    def going_out(self) -> frozenset[str]:
        """Return the vehicles that the gate lets out, without judging the rest."""
        return frozenset(stock for stock in self if self.gate(stock).may_publish)

    def of(self, stocks: Collection[str]) -> Conditions:
        """Return a mapping of some of these vehicles."""
        return Conditions([stock for stock in self if stock in stocks], self._judged)

    def judge(self, stocks: Collection[str], workers: Executor | None = None, judged_here: int = JUDGED_HERE) -> None:
        """Judge these vehicles with `workers`. Up to `judged_here` are left to be judged on access."""
        if workers is not None and len(stocks) > judged_here:
            self._judged.judge([stock for stock in self if stock in stocks], workers)


@dataclass(frozen=True)
class _Standards:
    """The figures, prices and yearly distance that records are judged by."""

    figures: Figures
    prices: PriceList | None
    a_year: Distance

    def judge(self, record: VehicleRecord) -> Condition:
        return judge(record, self.figures, self.prices, self.a_year)

    def judge_gate(self, record: VehicleRecord) -> Gate:
        return judge_gate(record, self.figures)


class _Judged:
    """Judges each record once, and keeps the result."""

    def __init__(self, records: Mapping[str, VehicleRecord], standards: _Standards) -> None:
        self._records, self._standards = records, standards
        self._shelf = Shelf()
        self._last: tuple[str, Condition] | None = None

    def of(self, stock: str) -> Condition:
        if self._last is None or self._last[0] != stock:
            if stock in self._shelf:
                condition: Condition = pickle.loads(self._shelf[stock])
            else:
                condition = self._standards.judge(self._records[stock])
                self._shelf.put(stock, _packed(condition))
            self._last = stock, condition
        return self._last[1]

    def gate(self, stock: str) -> Gate:
        # Judging the gate again is faster than unpickling the condition.
        return self._standards.judge_gate(self._records[stock])

    def judge(self, stocks: Sequence[str], workers: Executor) -> None:
        def submit(executor: Executor, batch: Sequence[str]) -> Future[list[Packed]]:
            return executor.submit(_judge, [self._records[stock] for stock in batch], self._standards)

        batches = (stocks[start : start + AT_ONCE] for start in range(0, len(stocks), AT_ONCE))
        for batch, judged in run_bounded(workers, submit, ((batch, MEGABYTES_OF_RECORDS) for batch in batches)):
            for stock, condition in zip(batch, judged, strict=True):
                self._shelf.put(stock, condition)


def _judge(records: Sequence[VehicleRecord], standards: _Standards) -> list[Packed]:
    """Return the condition of each record. This runs in a worker."""
    return [_packed(standards.judge(record)) for record in records]


def _packed(condition: Condition) -> Packed:
    return packed(pickle.dumps(condition, protocol=5))


def conditions_of(store: Store, figures: Figures) -> Conditions:
    """Return the condition of every vehicle that is not still being prepared."""
    a_year = miles_a_year(store.settings, figures.region.average_a_year.value)
    records = (vehicle.record for vehicle in store.vehicles)
    asked = {record.stock: record for record in records if record.status is not Status.PREPARING}
    return Conditions(asked, _Judged(asked, _Standards(figures, store.prices, a_year)))


@task(JSON, seconds=0.005, is_near=True)
def may_publish(read: Reader, folder_name: str) -> bool:
    """Return whether the gate lets a vehicle's page out, which depends on the record and the region's figures."""
    record, settings = read.result(vehicle_result, folder_name).record, read.parts(SETTINGS)
    if record is None or settings is None:
        return False
    return judge_gate(record, read.input(FIGURES, settings.region.value)).may_publish


def may_go_out(conditions: Conditions, engine: Engine, workers: Executor | None = None) -> frozenset[str]:
    """Return the vehicles that the gate lets out. `workers` judge those that changed, whose pages are made again."""
    changed = [stock for stock in conditions if not engine.is_valid(may_publish, stock)]
    conditions.judge(changed, workers)
    return frozenset(stock for stock in conditions if engine.result(may_publish, stock))
