"""Yield each `StandingFact` about the tires: figures at or past a limit, and missing measurements."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from sitegen.condition.basis.calendar import whole_years
from sitegen.condition.basis.facts import StandingFact
from sitegen.condition.basis.findings import MadeIn, TireSize
from sitegen.condition.basis.limits import limit_for
from sitegen.condition.basis.values import Said, Tread, Value, Word
from sitegen.condition.standing.figure_facts import Figured, FigureFact, is_replaced
from sitegen.condition.tires.date_codes import made_in
from sitegen.condition.tires.tire_sizes import parse_size
from sitegen.records.figures import Figures
from sitegen.records.standing.rules import FigureRules
from sitegen.records.vehicle import AXLES, Axle, Wheel
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wheels.tires import Tire, TireKind

_TEMPORARY = re.compile(r"\s*T\s?\d{3}/", re.IGNORECASE)
KILOGRAMS_A_POUND = Fraction("0.45359237")
HEAVY_FROM_POUNDS = 10_000
"""Above this gross vehicle weight rating 49 CFR 570 subpart B applies, and load figures count per axle."""


@dataclass(frozen=True)
class _OnWheel:
    """A tire of a wheel on the ground, with the figures that it is judged by."""

    wheel: Wheel
    axle: Axle
    tire: Tire
    record: VehicleRecord
    figures: Figures

    @property
    def rules(self) -> FigureRules:
        return self.figures.standing.figures

    @property
    def at(self) -> dict[str, Value]:
        return {"wheel": Word(f"at_wheel.{self.wheel.value}")}

    def path(self, *steps: str) -> tuple[str, ...]:
        return ("tires", self.wheel.value, *steps)


def tire_facts(record: VehicleRecord, figures: Figures) -> Iterator[StandingFact]:
    """Yield a fact for each figure at or past a limit of a tire on the road, and for each tire not measured."""
    figured = Figured(record, figures)
    for axle, wheels in record.tires.axles.items():
        for wheel in wheels:
            part = f"tires.{wheel.value}"
            if is_replaced(record, part, figures):
                continue
            tire = record.tires.at(wheel) or Tire()
            on = _OnWheel(wheel, axle, tire, record, figures)
            if tire.tread is None or tire.tread.lowest() is None:
                yield figured.unmeasured(on.path("tread"), Said("standing.tread_unmeasured", on.at), wheel)
            if tire.size and parse_size(tire.size) is None:
                yield figured.unmeasured(on.path("size"), Said("standing.size_unreadable", on.at), wheel)
            for found in (*_depth(on), *_age(on), *_size(on), *_pressure(on)):
                yield from figured.facts(found, part)
        apart = _sizes_apart(record, figures, axle)
        if apart is not None:
            yield from figured.facts(apart, "tires")
    yield from _load_of_all(figured)


def _depth(on: _OnWheel) -> Iterator[FigureFact]:
    tread = on.tire.tread
    lowest = tread.lowest() if tread else None
    weight = on.record.vehicle.gross_weight_pounds
    limit = limit_for(on.figures.region.tread_limits, weight, on.axle)
    if tread is None or lowest is None or limit is None:
        return
    place = next(place for place in ("outer", "center", "inner") if getattr(tread, place) == lowest)
    path, said = on.path("tread", place), {**on.at, "lowest": Tread(lowest), "limit": Tread(limit.value)}
    heavy = on.rules.front_tread_of_heavy
    may_be_heavy = weight is None and on.record.vehicle.body.value in on.figures.standing.heavy_bodies
    has_front_limit = any(one.axle is Axle.FRONT for one in on.figures.region.tread_limits)
    if lowest < limit.value:
        yield FigureFact(on.rules.tread_below_limit, path, Said("gate.tire_below", said), on.wheel)
    elif may_be_heavy and has_front_limit and on.axle is Axle.FRONT and lowest < heavy.value:
        words: dict[str, Value] = {**said, "limit": Tread(heavy.value)}
        yield FigureFact(heavy, path, Said("gate.tire_heavy", words), on.wheel)
    elif lowest == limit.value:
        yield FigureFact(on.rules.tread_at_limit, path, Said("gate.tire_at", said), on.wheel)


def _age(on: _OnWheel) -> Iterator[FigureFact]:
    code = on.tire.date_code
    if code is None or not code.isdigit():
        return
    as_of: date = on.record.look_at(f"tires.{on.wheel}").on
    made, rule = made_in(code, as_of), on.rules.tire_older_than
    if not isinstance(made, MadeIn):
        return
    if made.week_begins is None:
        yield FigureFact(rule, on.path("date_code"), Said("gate.tire_before_2000", on.at), on.wheel)
    elif whole_years(made.week_begins, as_of) >= rule.years:
        words: dict[str, Value] = {**on.at, "year": str(made.week_begins.year), "years": rule.years}
        yield FigureFact(rule, on.path("date_code"), Said("gate.tire_old", words), on.wheel)


def _size(on: _OnWheel) -> Iterator[FigureFact]:
    size, written = (parse_size(on.tire.size) if on.tire.size else None), on.tire.size or ""
    is_called_temporary = on.tire.kind is not None and on.tire.kind.is_temporary
    if is_called_temporary or _TEMPORARY.match(written):
        step = "kind" if is_called_temporary else "size"
        yield FigureFact(
            on.rules.temporary_spare_on_road, on.path(step), Said("gate.temporary_spare", on.at), on.wheel
        )
    wanted_size = on.record.tires.placard_size_of(on.axle)
    placard = parse_size(wanted_size) if wanted_size else None
    if size is None or placard is None:
        return
    words: dict[str, Value] = {**on.at, "fitted": size.written, "placard": placard.written}
    load, wanted = _load(size, on), _load(placard, on)
    if load is not None and wanted is not None and load < wanted:
        yield FigureFact(on.rules.load_below_placard, on.path("size"), Said("gate.tire_load", words), on.wheel)
    speeds = on.figures.tires.speed_symbol.kilometres_an_hour
    speed, least = speeds.get(size.speed_symbol or ""), speeds.get(placard.speed_symbol or "")
    is_winter = on.tire.kind is TireKind.WINTER
    if speed is not None and least is not None and speed < least and not is_winter:
        yield FigureFact(on.rules.speed_below_placard, on.path("size"), Said("gate.tire_speed", words), on.wheel)


def _load(size: TireSize, on: _OnWheel) -> int | None:
    """Return the load of a tire in kilograms, as one of two on a side where the axle has dual wheels.

    None if the size states no load index, or an unknown one.
    """
    dual = on.record.tires.is_dual and on.axle is Axle.REAR
    return on.figures.tires.load_index.kilograms.get(size.load_index_as(dual=dual) or 0)


def _pressure(on: _OnWheel) -> Iterator[FigureFact]:
    pressure = on.tire.pressure
    if pressure is None:
        return
    words: dict[str, Value] = {**on.at, "pressure": pressure}
    low, high, path = Said("gate.pressure_low", words), Said("gate.pressure_high", words), on.path("pressure")
    label = on.record.tires.placard_pressure_of(on.axle)
    percent = None if label is None else pressure.amount / label.amount * 100
    if pressure < on.rules.pressure_below.value:
        yield FigureFact(on.rules.pressure_below, path, low, on.wheel)
    elif pressure > on.rules.pressure_above.value:
        yield FigureFact(on.rules.pressure_above, path, high, on.wheel)
    elif percent is not None and percent < on.rules.pressure_below_label.percent:
        yield FigureFact(on.rules.pressure_below_label, path, low, on.wheel)
    elif percent is not None and percent > on.rules.pressure_above_label.percent:
        yield FigureFact(on.rules.pressure_above_label, path, high, on.wheel)


def _sizes_apart(record: VehicleRecord, figures: Figures, axle: Axle) -> FigureFact | None:
    """Return the fact that the outer tires of an axle differ in rim, or by `sizes_differ` percent in diameter.

    205/55R16 is 631.9 mm high and 235/60R18 is 739.2 mm: 14.5 % less. None if they are alike, or a size is not known.
    """
    left, right = AXLES[axle]
    tires = [record.tires.at(wheel) or Tire() for wheel in (left, right)]
    sizes = [parse_size(tire.size) if tire.size else None for tire in tires]
    if sizes[0] is None or sizes[1] is None or any(size is not None and size.is_temporary for size in sizes):
        return None
    low, high = sorted((sizes[0].diameter, sizes[1].diameter))
    rule = figures.standing.figures.sizes_differ
    if sizes[0].rim == sizes[1].rim and (high - low) / high * 100 < rule.percent:
        return None
    words: dict[str, Value] = {
        "axle": Word(f"axle.{axle.value}"),
        "left": sizes[0].written,
        "right": sizes[1].written,
    }
    return FigureFact(rule, ("tires", left.value, "size"), Said("gate.sizes_apart", words))


def _load_of_all(figured: Figured) -> Iterator[StandingFact]:
    """Yield a fact if the tires together carry less than the vehicle may weigh.

    Not judged if the door label states a size, if a load is not known, or above 10,000 lb on single tires. Of a size
    120/117 a dual rear axle counts the second index: 4 x 1,285 kg = 5,140 kg.
    """
    record, figures = figured.record, figured.figures
    weight = record.vehicle.gross_weight_pounds
    if weight is None or record.tires.placard_size or (weight > HEAVY_FROM_POUNDS and not record.tires.is_dual):
        return
    loads = []
    for axle, wheels in record.tires.axles.items():
        for wheel in wheels:
            tire = record.tires.at(wheel) or Tire()
            size = parse_size(tire.size) if tire.size else None
            loads.append(_load(size, _OnWheel(wheel, axle, tire, record, figures)) if size is not None else None)
    known = [load for load in loads if load is not None]
    if len(known) == len(loads) and sum(known) / KILOGRAMS_A_POUND < weight:
        pounds = int(sum(known) / KILOGRAMS_A_POUND)
        said = Said("gate.tires_load", {"number": len(loads), "carried": f"{pounds:,}", "weight": f"{weight:,}"})
        rule = figures.standing.figures.load_below_weight
        yield from figured.facts(FigureFact(rule, ("tires", "left_front", "size"), said), "tires")
