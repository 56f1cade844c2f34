"""Which of the vehicles that can be had are near to one that is sold.

Far is the sum of the differences of price and distance, each as a share of the sold vehicle's own figure; a figure
that either of the two lacks counts as wholly different. 12,000 and 60,000 mi against 10,000 and 50,000 mi is
1/5 + 1/5.

All against all would be 9 million comparisons where 1,000 of 10,000 are sold. So those of a body are halved again and
again by the figure in which they lie further apart, and a part is looked into only where its limits let one of it
come before what is found already.
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
    """Finds the nearest of some vehicles, each of which has its own stock number. Orders them when first asked."""

    on_offer: Sequence[VehicleRecord]

    def to(self, record: VehicleRecord) -> tuple[VehicleRecord, ...]:
        """Return up to three: those of the same body first, then the less far, then by stock number."""
        body = record.vehicle.body
        others = (part for other, parts in self._bodies.items() if other is not body for part in parts)
        figures = _Figures.of(record)
        in_order = chain(_nearest(figures, self._bodies.get(body, ())), _nearest(figures, others))
        return tuple(islice(in_order, MOST_ALTERNATIVES))

    @cached_property
    def _bodies(self) -> Mapping[Body, Sequence[_Part]]:
        """Those of each body, apart by which figures they have."""
        figures = [_Figures.of(record) for record in self.on_offer]
        prices = _ranks(each.price for each in figures)
        distances = _ranks(each.distance for each in figures)
        alike: defaultdict[tuple[Body, bool, bool], list[_Ranked]] = defaultdict(list)
        for record, own in zip(self.on_offer, figures, strict=True):
            key = record.vehicle.body, own.price is None, own.distance is None
            alike[key].append(_Ranked(prices[own.price], distances[own.distance], own, record))
        bodies: defaultdict[Body, list[_Part]] = defaultdict(list)
        for (body, *_), vehicles in alike.items():
            bodies[body].append(_halved(vehicles))
        return dict(bodies)


class _Figures(NamedTuple):
    price: Fraction | None
    distance: Fraction | None
    """Metres driven."""

    @classmethod
    def of(cls, record: VehicleRecord) -> _Figures:
        price, reading = record.price, record.odometer.reading
        return cls(None if price is None else Fraction(price), None if reading is None else reading.metres)


class _Ranked(NamedTuple):
    """A vehicle with the places of its figures among those of all, as whole numbers are sorted soonest."""

    price: int
    distance: int
    figures: _Figures
    record: VehicleRecord


@dataclass(frozen=True)
class _Part:
    """One vehicle, or two parts of many; all within lack the same figures."""

    least: _Figures
    most: _Figures
    first: str
    """The stock number that comes before the others."""
    within: tuple[_Part, _Part] | VehicleRecord


def _ranks(figures: Iterable[Fraction | None]) -> Mapping[Fraction | None, int]:
    known = sorted({figure for figure in figures if figure is not None})
    return {None: 0, **{figure: place for place, figure in enumerate(known)}}


def _halved(vehicles: Sequence[_Ranked]) -> _Part:
    if len(vehicles) == 1:
        ((*_, figures, record),) = vehicles
        return _Part(figures, figures, record.stock, record)
    prices, distances = [each.price for each in vehicles], [each.distance for each in vehicles]
    by_price = max(prices) - min(prices) > max(distances) - min(distances)
    in_order = sorted(vehicles, key=lambda each: each.price if by_price else each.distance)
    half = len(in_order) // 2
    one, other = _halved(in_order[:half]), _halved(in_order[half:])
    least = _Figures(*map(_least, one.least, other.least))
    most = _Figures(*map(_most, one.most, other.most))
    return _Part(least, most, min(one.first, other.first), (one, other))


def _least(one: Fraction | None, other: Fraction | None) -> Fraction | None:
    return None if one is None or other is None else min(one, other)


def _most(one: Fraction | None, other: Fraction | None) -> Fraction | None:
    return None if one is None or other is None else max(one, other)


def _nearest(figures: _Figures, parts: Iterable[_Part]) -> Iterator[VehicleRecord]:
    """Yield the vehicles of some parts, the nearest first: no part comes after any vehicle that is within it."""
    waiting = [(_far(figures, part), part.first, part) for part in parts]
    heapify(waiting)
    while waiting:
        *_, nearest = heappop(waiting)
        if isinstance(nearest.within, VehicleRecord):
            yield nearest.within
        else:
            for part in nearest.within:
                heappush(waiting, (_far(figures, part), part.first, part))


def _far(figures: _Figures, part: _Part) -> Fraction:
    """Return how far the nearest of a part may be; of a vehicle, how far it is."""
    differences = map(_difference, figures, part.least, part.most)
    return sum(differences, start=Fraction(0))


def _difference(one: Fraction | None, least: Fraction | None, most: Fraction | None) -> Fraction:
    if not one or least is None or most is None:
        return Fraction(1)
    return max(least - one, one - most, Fraction(0)) / one
