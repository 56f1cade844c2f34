"""Which vehicles are near to a sold one: as by holding it against every other, and with far fewer comparisons."""

from __future__ import annotations

import fractions
import random
import sys
from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import cache
from types import FrameType
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as some

from sitegen.pages import nearness
from sitegen.pages.nearness import Nearness
from sitegen.records.quantities import Distance
from sitegen.records.vehicle import Body
from sitegen.records.vehicle_record import VehicleRecord
from tests.builders import a_vehicle

Told = tuple[Body, int | None, int | None]
"""Body, price and miles."""


def test_distances_agree_with_values_computed_by_hand():
    """K2 is 1/5 + 1/5 far, K3 1/10 + 0, K4 has no price (1 + 0), and K1, which is as far as K2, comes before it."""
    told = {"K1": (12_000, 40_000), "K2": (12_000, 60_000), "K3": (9_000, 50_000), "K4": (None, 50_000)}
    on_offer = [vehicle(stock, (Body.SUV, *figures)) for stock, figures in told.items()]
    found = Nearness(on_offer).to(vehicle("S", (Body.SUV, 10_000, 50_000)))
    assert [record.stock for record in found] == ["K3", "K1", "K2"]
    of_another_body = Nearness([*on_offer[2:], vehicle("K0", (Body.SEDAN, 10_000, 50_000))])
    found = of_another_body.to(vehicle("S", (Body.SUV, 10_000, 50_000)))
    assert [record.stock for record in found] == ["K3", "K4", "K0"]


KNOWN = some.integers(1, 4) | some.integers(1, 30).map(lambda hundreds: hundreds * 100)
FIGURES = KNOWN | some.none()
TOLD = some.tuples(some.sampled_from(list(Body)[:3]), FIGURES, FIGURES | some.just(0))
ALL_KNOWN = some.tuples(some.just(Body.SUV), KNOWN, KNOWN)


@settings(max_examples=300, deadline=None)
@given(
    some.lists(TOLD, max_size=40) | some.lists(ALL_KNOWN, min_size=15, max_size=40),
    some.lists(TOLD | ALL_KNOWN, min_size=2, max_size=6),
    some.randoms(use_true_random=False),
)
@example([(Body.SUV, 1, 1)] * 9, [(Body.SUV, 1, 1), (Body.SEDAN, None, 0)], random.Random(1))
def test_the_search_agrees_with_comparing_all_vehicles(offered, sold, dice):
    """Few different figures, so that many are as far, and unknown ones; stock numbers in no order."""
    numbers = dice.sample(range(100), len(offered))
    on_offer = [vehicle(f"K{number}", told) for number, told in zip(numbers, offered, strict=True)]
    near = Nearness(on_offer)
    for told in sold:
        record = vehicle("S", told)
        assert [each.stock for each in near.to(record)] == [
            each.stock for each in by_holding_against_all(record, on_offer)
        ]


SHAPES: dict[str, Any] = {
    "prices and distances": lambda dice: (dice.randrange(1_500, 45_000), dice.randrange(0, 200_000)),
    "few prices": lambda dice: (dice.choice((4_995, 6_995, 8_995)), dice.randrange(0, 200_000)),
    "one price": lambda dice: (8_995, dice.randrange(0, 200_000)),
    "no price": lambda dice: (None, dice.randrange(0, 200_000)),
    "all alike": lambda _: (8_995, 60_000),
    "nothing known": lambda _: (None, None),
}


@pytest.mark.parametrize("shape", SHAPES)
def test_comparisons_grow_little_faster_than_the_store(shape):
    """Four times the vehicles, a tenth of them sold: 16 times the comparisons, were each held against all."""
    few, many = comparisons(SHAPES[shape], 500), comparisons(SHAPES[shape], 2_000)
    assert few < many < 6 * few


def comparisons(shape: Any, count: int) -> int:
    """Count the calls of the module's own functions and of those of fractions, which compare and reckon."""
    dice = random.Random(count)
    told = [(dice.choice(list(Body)), *shape(dice)) for _ in range(count + count // 10)]
    records = [vehicle(f"K{number}", each) for number, each in enumerate(told)]
    calls = 0

    def note(frame: FrameType, event: str, _: object) -> None:
        nonlocal calls
        calls += event == "call" and frame.f_code.co_filename in (nearness.__file__, fractions.__file__)

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        near = Nearness(records[:count])
        for record in records[count:]:
            near.to(record)
    finally:
        sys.setprofile(before)
    return calls


def by_holding_against_all(record: VehicleRecord, others: Iterable[VehicleRecord]) -> Sequence[VehicleRecord]:
    """Return the three that are nearest, by the definition as it reads."""

    def share(own: Fraction | None, other: Fraction | None) -> Fraction:
        return Fraction(1) if not own or other is None else abs(other - own) / own

    def place(other: VehicleRecord) -> tuple[bool, Fraction, str]:
        (price, metres), (other_price, other_metres) = figures(record), figures(other)
        far = share(price, other_price) + share(metres, other_metres)
        return other.vehicle.body is not record.vehicle.body, far, other.stock

    return sorted(others, key=place)[:3]


def figures(record: VehicleRecord) -> tuple[Fraction | None, Fraction | None]:
    reading = record.odometer.reading
    return None if record.price is None else Fraction(record.price), None if reading is None else reading.metres


def vehicle(stock: str, told: Told) -> VehicleRecord:
    """Return a record with these figures: a copy of the base vehicle's, for validating each anew would take long."""
    body, price, miles = told
    base = the_base_vehicle()
    reading = None if miles is None else Distance.of_miles(miles)
    changes = {
        "stock": stock,
        "price": None if price is None else Decimal(price),
        "vehicle": base.vehicle.model_copy(update={"body": body}),
        "odometer": base.odometer.model_copy(update={"reading": reading}),
    }
    return base.model_copy(update=changes)


@cache
def the_base_vehicle() -> VehicleRecord:
    return a_vehicle()
