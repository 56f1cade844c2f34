"""The cost of doing an item once, as a range from the store's price list. None if a price is missing.

A price may be limited to some vehicles. Of the entries that apply, the one with the most conditions is used. If the
record does not say whether a narrower entry applies, both may.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal

from sitegen.condition.basis.forecast import CostRange
from sitegen.records.base import LocalizedText
from sitegen.records.money.prices import PriceFor, PriceList, PriceRange
from sitegen.records.vehicle import Vehicle
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wheels.tires import Tire

_RIM, _LOAD_RANGE = re.compile(r"R(\d\d)"), re.compile(r"(?:/| )([C-F])(?: |$)")


@dataclass(frozen=True)
class Cost:
    """The cost of doing an item once, in hundredths of the currency."""

    known: CostRange | None = None
    worst: CostRange | None = None
    """The cost if everything unknown that decides the price is as dear as possible. None if it is the same."""
    narrowed_by: LocalizedText | None = None
    """The name of the entry that was used, if it is not for every vehicle."""


def cost_of(services: tuple[str, ...], count: int, prices: PriceList | None, record: VehicleRecord) -> Cost:
    """Return the cost range from the cheapest to the dearest of the services, times `count`.

    Two tires at 120-230 each cost 24,000 to 46,000. There is no range unless every service has a price.
    """
    if prices is None:
        return Cost()
    found = [_entries(service, prices, record) for service in services]
    if not found or not all(found):
        return Cost()
    ranges = [CostRange(_cents(low, count), _cents(high, count)) for each in found for low, high, _ in each]
    known = CostRange(min(each.low for each in ranges), max(each.high for each in ranges))
    dearest = max(ranges, key=lambda each: (each.high, each.low))
    names = [name for each in found for _, _, name in each]
    named = names[0] if len(names) == 1 else None
    return Cost(known, None if dearest == known else dearest, named)


Entry = tuple[Decimal, Decimal, LocalizedText | None]


def _entries(service: str, prices: PriceList, record: VehicleRecord) -> list[Entry]:
    """Return the narrowest entry of the price list that applies, and each narrower one that may apply.

    Whether one may apply depends on what the record says.
    """
    best: tuple[int, Entry] | None = None
    general = prices.prices.get(service)
    if general is not None and not general.from_memory:
        best = (0, (general.low, general.high, None))
    unsure: list[tuple[int, Entry]] = []
    for entry in prices.for_some:
        amounts = _amounts(entry, prices.labor_rate)
        fits = _fits(entry, record) if entry.service == service else (False,)
        if amounts is None or False in fits:
            continue
        found = (len(fits), (*amounts, entry.name))
        if None in fits:
            unsure.append(found)
        elif best is None or found[0] > best[0]:
            best = found
    narrowest = best[0] if best else -1
    return [*([best[1]] if best else []), *(entry for number, entry in unsure if number > narrowest)]


def _amounts(entry: PriceFor, labor_rate: PriceRange | None) -> tuple[Decimal, Decimal] | None:
    """Return the amounts of a price: the price itself, or hours times the labor rate plus parts.

    None if one is missing or marked as from memory.

    None if one is missing.
    """
    if entry.price is not None:
        return None if entry.price.from_memory else (entry.price.low, entry.price.high)
    if entry.hours is None or labor_rate is None or labor_rate.from_memory:
        return None
    parts = entry.parts or PriceRange(Decimal(0), Decimal(0))
    if parts.from_memory or entry.hours.from_memory:
        return None
    return entry.hours.low * labor_rate.low + parts.low, entry.hours.high * labor_rate.high + parts.high


def _fits(entry: PriceFor, record: VehicleRecord) -> tuple[bool | None, ...]:
    """Return for each condition of a price whether it is met.

    None for a condition that the record does not decide.
    """
    vehicle = record.vehicle
    tires = [record.tires.at(wheel) for wheel in record.tires.on_the_ground]
    weight, rims = vehicle.gross_weight_pounds, [_rim(tire) for tire in tires]
    conditions: list[bool | None] = []

    def hold(limit: object, values: Iterable[object | None], test: Callable[[object], bool]) -> None:
        if limit is not None:
            results = {None if value is None else test(value) for value in values}
            conditions.append(results.pop() if len(results) == 1 else None)

    hold(entry.drives, [vehicle.drive], lambda drive: drive in (entry.drives or ()))
    hold(entry.fuels, [vehicle.fuel], lambda fuel: fuel in (entry.fuels or ()))
    hold(entry.cylinders, [vehicle.cylinders], lambda number: number in (entry.cylinders or ()))
    hold(entry.load_ranges, map(_load_range, tires), lambda letter: letter in (entry.load_ranges or ()))
    hold(entry.tire_kinds, [tire and tire.kind for tire in tires], lambda kind: kind in (entry.tire_kinds or ()))
    bounds = (
        (entry.gross_weight_from, entry.gross_weight_to, [weight]),
        (entry.axle_weight_from, entry.axle_weight_to, [_axle_weight(entry.service, vehicle)]),
        (entry.liters_from, entry.liters_to, [vehicle.liters]),
        (entry.rim_from, entry.rim_to, rims),
    )
    for least, most, values in bounds:
        known = [None if value is None else Decimal(value) for value in values]
        hold(least, known, lambda value, least=least: value >= least)  # type: ignore[misc]
        hold(most, known, lambda value, most=most: value <= most)  # type: ignore[misc]
    return tuple(conditions)


def _axle_weight(service: str, vehicle: Vehicle) -> int | None:
    """Return the gross axle weight rating in pounds of the axle that a service is done on.

    For both axles, return the larger rating. None if one is not recorded.
    """
    front, rear = vehicle.front_axle_pounds, vehicle.rear_axle_pounds
    if service.startswith("front_"):
        return front
    if service.startswith("rear_"):
        return rear
    return None if front is None or rear is None else max(front, rear)


def _rim(tire: Tire | None) -> int | None:
    """Return the rim diameter in inches: 16 for 205/55R16 91V. None for an unknown size."""
    found = _RIM.search(tire.size) if tire and tire.size else None
    return int(found[1]) if found else None


def _load_range(tire: Tire | None) -> str | None:
    """Return the load range letter of a light-truck size: E for LT235/80R17 120/117R E. None for a passenger size."""
    if tire is None or not tire.size:
        return None
    found = _LOAD_RANGE.search(tire.size)
    return found[1] if found else None if tire.size.startswith("LT") else ""


def _cents(amount: Decimal, count: int) -> int:
    return int(amount * 100) * count
