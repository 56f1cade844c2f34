"""Find the vehicles for sale that are most similar to a sold one: a nearest-neighbor search in a k-d tree.

The distance of two vehicles is the sum of the differences of price and of miles, each as a share of the sold
vehicle's own figure. A figure that either vehicle lacks counts as a difference of 1. 12,000 and 60,000 mi against
10,000 and 50,000 mi is 1/5 + 1/5.

Comparing all with all would take 9 million comparisons if 1,000 of 10,000 vehicles are sold. So the vehicles of
each body are split in half recursively by the figure with the larger spread. A part is searched only if its bounds
allow a vehicle that is nearer than those found already.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from heapq import heapify, heappop, heappush
from itertools import chain, islice
from typing import NamedTuple

from sitegen.records.vehicle import Body
from sitegen.records.vehicle_record import VehicleRecord

MOST_ALTERNATIVES = 3


@dataclass(frozen=True)
class Nearness:
    """Find similar vehicles among those for sale. Builds its search tree on first use."""

    on_offer: Sequence[VehicleRecord]

    def to(self, record: VehicleRecord) -> tuple[VehicleRecord, ...]:
        """Return up to three vehicles: those of the same body first, then by distance, then by stock number."""
        body = record.vehicle.body
        others = (part for other, parts in self._bodies.items() if other is not body for part in parts)
        figures = _Figures.of(record)
        in_order = chain(_nearest(figures, self._bodies.get(body, ())), _nearest(figures, others))
        return tuple(islice(in_order, MOST_ALTERNATIVES))

    @cached_property
    def _bodies(self) -> Mapping[Body, Sequence[_Part]]:
        """The search trees of each body: one for each combination of figures that vehicles have."""
        figures = [_Figures.of(record) for record in self.on_offer]
        prices = _ranks(each.price for each in figures)
        distances = _ranks(each.distance for each in figures)
        alike: defaultdict[tuple[Body, bool, bool], list[_Ranked]] = defaultdict(list)
        for record, own in zip(self.on_offer, figures, strict=True):
            key = record.vehicle.body, own.price is None, own.distance is None
            alike[key].append(_Ranked(prices[own.price], distances[own.distance], own, record))
        bodies: defaultdict[Body, list[_Part]] = defaultdict(list)
        for (body, *_), vehicles in alike.items():
            bodies[body].append(_split(vehicles))
        return dict(bodies)


class _Figures(NamedTuple):
    price: Fraction | None
    distance: Fraction | None
    """Meters driven."""

    @classmethod
    def of(cls, record: VehicleRecord) -> _Figures:
        price, reading = record.price, record.odometer.reading
        return cls(None if price is None else Fraction(price), None if reading is None else reading.metres)


class _Ranked(NamedTuple):
    """A vehicle with the ranks of its figures among those of all. Integers sort faster than fractions."""

    price: int
    distance: int
    figures: _Figures
    record: VehicleRecord


@dataclass(frozen=True)
class _Part:
    """A node of the search tree: one vehicle, or two parts. All vehicles within it lack the same figures."""

    least: _Figures
    most: _Figures
    first: str
    """The smallest stock number within the part."""
    within: tuple[_Part, _Part] | VehicleRecord


def _ranks(figures: Iterable[Fraction | None]) -> Mapping[Fraction | None, int]:
    values = sorted({figure for figure in figures if figure is not None})
    return {None: 0, **{figure: place for place, figure in enumerate(values)}}


def _split(vehicles: Sequence[_Ranked]) -> _Part:
    if len(vehicles) == 1:
        ((*_, figures, record),) = vehicles
        return _Part(figures, figures, record.stock, record)
    prices, distances = [each.price for each in vehicles], [each.distance for each in vehicles]
    by_price = max(prices) - min(prices) > max(distances) - min(distances)
    in_order = sorted(vehicles, key=lambda each: each.price if by_price else each.distance)
    half = len(in_order) // 2
    lower, upper = _split(in_order[:half]), _split(in_order[half:])
    least = _Figures(*map(_least, lower.least, upper.least))
    most = _Figures(*map(_most, lower.most, upper.most))
    return _Part(least, most, min(lower.first, upper.first), (lower, upper))


def _least(first: Fraction | None, second: Fraction | None) -> Fraction | None:
    return None if first is None or second is None else min(first, second)


def _most(first: Fraction | None, second: Fraction | None) -> Fraction | None:
    return None if first is None or second is None else max(first, second)


def _nearest(figures: _Figures, parts: Iterable[_Part]) -> Iterator[VehicleRecord]:
    """Yield the vehicles of some parts, nearest first. This is a best-first search by `_lower_bound`."""
    waiting = [(_lower_bound(figures, part), part.first, part) for part in parts]
    heapify(waiting)
    while waiting:
        *_, nearest = heappop(waiting)
        if isinstance(nearest.within, VehicleRecord):
            yield nearest.within
        else:
            for part in nearest.within:
                heappush(waiting, (_lower_bound(figures, part), part.first, part))


def _lower_bound(figures: _Figures, part: _Part) -> Fraction:
    """Return the smallest distance that a vehicle of the part can have; of a single vehicle, its distance."""
    differences = map(_difference, figures, part.least, part.most)
    return sum(differences, start=Fraction(0))


def _difference(own: Fraction | None, least: Fraction | None, most: Fraction | None) -> Fraction:
    if not own or least is None or most is None:
        return Fraction(1)
    return max(least - own, own - most, Fraction(0)) / own
