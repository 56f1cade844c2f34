"""Project how long the linings of each axle will last, and which services renew them.

Both brakes of an axle are renewed together. The one that wears out first decides.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from sitegen.condition.basis.findings import BrakeFinding
from sitegen.condition.basis.forecast import ItemFacts, OutlookLine
from sitegen.condition.basis.odometer import may_project, why_no_projection
from sitegen.condition.basis.renewals import wear_ended_by
from sitegen.condition.basis.values import KnownBy, Renewal, Said, Value, Word
from sitegen.condition.outlook.distances import as_span, driven_of, hundredths
from sitegen.condition.outlook.part_life import (
    AT_ONCE,
    NOTHING_LEFT,
    PartLife,
    driven_since_fitted,
    driven_since_measured,
    first_to_go,
    life_of_renewed,
    minus,
    need_of,
    no_sooner_than,
    not_measured,
    reading_error,
)
from sitegen.condition.outlook.projection import (
    Projection,
    Wear,
    longest,
    most_counted_on,
    project,
    project_as_mates,
)
from sitegen.condition.since.read_before import ReadNow, between_readings
from sitegen.condition.since.same_part import is_same_lining
from sitegen.condition.since.wear_between import Between, by_wear_between, is_better
from sitegen.records.figures import BrakeFigures, Figures
from sitegen.records.quantities import Depth, Distance
from sitegen.records.sourced import Life
from sitegen.records.vehicle import AXLES, Axle
from sitegen.records.vehicle_record import VehicleRecord

LININGS = 2
"""Linings per brake: two pads, or two shoes."""


def brake_lines(
    record: VehicleRecord, figures: Figures, found: Mapping[Axle, Sequence[BrakeFinding]]
) -> Iterator[OutlookLine]:
    """Yield one outlook line per axle: how long its linings will last."""
    unit = figures.region.units.distance
    for axle, pair in found.items():
        old = first_to_go([_life(replace(finding, renewed=None), axle, record, figures) for finding in pair])
        life = no_sooner_than(first_to_go([_life(finding, axle, record, figures) for finding in pair]), old)
        typical = typical_life(record, figures.brakes, axle, pair[0].kind)
        unmeasured = [finding for finding in pair if finding.thinnest is None and finding.renewed is None]
        remarks = [Said("outlook.brakes.not_all_measured", {"count": len(unmeasured)})] if unmeasured else []
        if not may_project(record):
            remarks.append(why_no_projection(record))
        need, worst = need_of(life, unit)
        yield OutlookLine(
            facts=ItemFacts(
                key=f"{axle.value}_brakes",
                need=need,
                again_distance=hundredths(as_span(typical), unit),
                not_measured=life.not_measured,
                worst=worst,
            ),
            known_by=life.known_by,
            basis=(*life.basis, *remarks, Said("outlook.brakes.pair")),
            services=services_of(axle, pair),
        )


def typical_life(record: VehicleRecord, figures: BrakeFigures, axle: Axle, kind: str) -> Life:
    """Return the typical life of an axle's linings, in metres. It is far longer with regenerative braking."""
    usual = figures.front if axle is Axle.FRONT else figures.rear
    if kind == "drum":
        return usual.shoe_life
    return usual.pad_life_with_regeneration if record.vehicle.fuel in figures.regeneration else usual.pad_life


def services_of(axle: Axle, pair: Sequence[BrakeFinding]) -> tuple[str, ...]:
    """Return the services that the axle may need: linings alone, with rotors or drums, or both if unknown.

    Linings alone are enough if both rotors are known to be above their discard figure.
    """
    drum = any(finding.kind == "drum" for finding in pair)
    alone = f"{axle.value}_{'shoes' if drum else 'pads'}"
    with_metal = f"{alone}_and_{'drums' if drum else 'rotors'}"
    margins = [finding.metal_margin.millimetres for finding in pair if finding.metal_margin is not None]
    if any(margin == 0 for margin in margins):
        return (with_metal,)
    return (alone,) if len(margins) == len(pair) else (alone, with_metal)


def _life(finding: BrakeFinding, axle: Axle, record: VehicleRecord, figures: Figures) -> PartLife:
    """Return the life of one brake. At its worst it is due, unless both linings and the metal were measured."""
    life = _known_life(finding, axle, record, figures)
    metal_is_known = finding.metal_margin is not None or finding.discard_marked is False
    if finding.renewed is not None or (metal_is_known and len(finding.linings) == LININGS):
        return life
    return replace(life, worst=AT_ONCE)


def _known_life(finding: BrakeFinding, axle: Axle, record: VehicleRecord, figures: Figures) -> PartLife:
    at: dict[str, Value] = {"wheel": Word(f"at_wheel.{finding.wheel.value}")}
    typical = typical_life(record, figures.brakes, axle, finding.kind)
    if finding.renewed is not None:
        return _renewed(finding, finding.renewed, axle, record, figures)
    if finding.metal_margin is not None and finding.metal_margin.millimetres == 0:
        return PartLife(NOTHING_LEFT, None, KnownBy.MEASURED, (Said("outlook.brakes.metal_worn_out", at),))
    if finding.thinnest is None:
        return not_measured(as_span(typical), None, KnownBy.NOT_KNOWN, (Said("outlook.brakes.not_measured", at),))
    if finding.thinnest <= finding.replace_at.value:
        worn: dict[str, Value] = {**at, "thinnest": finding.thinnest, "replace_at": finding.replace_at.value}
        return PartLife(NOTHING_LEFT, None, KnownBy.MEASURED, (Said("outlook.brakes.worn_out", worn),))
    if not may_project(record):
        return not_measured(as_span(typical), None, KnownBy.NOT_KNOWN, ())
    return _by_lining(finding, finding.thinnest, typical, record, figures)


def _renewed(
    finding: BrakeFinding, renewal: Renewal, axle: Axle, record: VehicleRecord, figures: Figures
) -> PartLife:
    """Return the typical life of new linings. `brake_lines` keeps the axle from having less than before."""
    typical = typical_life(record, figures.brakes, axle, finding.kind)
    distance = life_of_renewed(record, as_span(typical), renewal)
    return PartLife(distance, None, KnownBy.TYPICAL, (Said("outlook.renewed"),))


def _by_lining(
    finding: BrakeFinding, thinnest: Depth, typical: Life, record: VehicleRecord, figures: Figures
) -> PartLife:
    at: dict[str, Value] = {"wheel": Word(f"at_wheel.{finding.wheel.value}")}
    fitted_at: Distance | None = getattr(record.brakes, finding.wheel.value).fitted_at
    wear = Wear(
        now=thinnest.millimetres,
        error=reading_error(
            record.look_at(*_readings(finding)).gauges.pads, figures.brakes.reading_error.value.millimetres
        ),
        new_low=finding.new.low.millimetres,
        new_high=finding.new.high.millimetres,
        worn_out=finding.replace_at.value.millimetres,
        life=as_span(typical),
        driven=driven_since_fitted(record, fitted_at, f"brakes.{finding.wheel.value}", _readings(finding)),
        least_history=figures.brakes.least_history.value.metres,
    )
    projection = project(wear, finding.replace_at.value.millimetres)
    if projection is None:
        return not_measured(wear.life, None, KnownBy.NOT_KNOWN, (Said("outlook.wear.more_than_new", at),))
    since, end = driven_since_measured(record, *_readings(finding)), finding.replace_at.value
    most = projection.most or most_counted_on(wear, end.millimetres)
    to_mark = Said("outlook.brakes.to_replace", {"replace_at": end})
    between = _between(finding, wear, record, figures.brakes)
    if between is not None:
        usable = wear.new_low - wear.worn_out
        span = by_wear_between(between, end.millimetres, usable, longest(wear.life))
        if span is not None and is_better(span, projection.span, projection.own_history):
            driven = driven_of(between.driven, figures.region.units.distance)
            told: dict[str, Value] = {"was": between.was, "on": between.on, "now": thinnest, "driven": driven}
            basis = (Said("outlook.wear.between_lining", {**at, **told}), to_mark)
            return PartLife(minus(span, since), None, KnownBy.MEASURED, basis, own_wear=True, most=minus(most, since))
    projection, ended = _after_repair(finding, wear, projection, record)
    known_by = KnownBy.FROM_RECORDS if projection.own_history else KnownBy.TYPICAL
    held = (Said("outlook.wear.held"),) if projection.held else ()
    return PartLife(
        minus(projection.span, since),
        None,
        known_by,
        (_how(finding, projection.own_history, wear, typical, figures), *ended, to_mark, *held),
        own_wear=projection.own_history,
        most=minus(most, since) if projection.own_history else None,
        worst=None if projection.worst is None else (minus(projection.worst, since), None),
    )


def _after_repair(
    finding: BrakeFinding, wear: Wear, projection: Projection, record: VehicleRecord
) -> tuple[Projection, tuple[Said, ...]]:
    """Return the projection of a lining that wore faster than the others, after its cause was repaired."""
    ended = wear_ended_by(record, f"brakes.{finding.wheel.value}")
    if ended is None or not projection.own_history:
        return projection, ()
    axle = next(pair for pair in AXLES.values() if finding.wheel in pair)
    linings = [
        depth.millimetres
        for wheel in axle
        if (brake := record.brakes.at(wheel)) is not None
        for place, depth in brake.linings().items()
        if (wheel, place) != (finding.wheel, finding.thinnest_place)
    ]
    mended = project_as_mates(wear, linings, finding.replace_at.value.millimetres)
    if mended is None:
        return projection, ()
    at: dict[str, Value] = {"wheel": Word(f"at_wheel.{finding.wheel.value}")}
    return replace(mended, worst=projection.worst), (Said("outlook.brakes.repaired", {**at, "what": ended.what}),)


def _how(finding: BrakeFinding, own_history: bool, wear: Wear, typical: Life, figures: Figures) -> Said:
    at: dict[str, Value] = {"wheel": Word(f"at_wheel.{finding.wheel.value}")}
    if not own_history or wear.driven is None:
        return _typical(at, typical)
    driven = driven_of(wear.driven, figures.region.units.distance)
    words: dict[str, Value] = {**at, "new": finding.new.low, "driven": driven}
    if wear.new_low < wear.new_high:
        return Said("outlook.wear.own_history_lining_usual_new", {**words, "new_high": finding.new.high})
    return Said("outlook.wear.own_history_lining", words)


def _between(finding: BrakeFinding, wear: Wear, record: VehicleRecord, figures: BrakeFigures) -> Between | None:
    """Return the reading now and the latest earlier one of the lining that is the thinnest now.

    None if there is no earlier one.
    """

    def read(before: VehicleRecord) -> Depth | None:
        brake = before.brakes.at(finding.wheel)
        return brake.linings().get(finding.thinnest_place or "") if brake else None

    def error(before: VehicleRecord, _was: Depth) -> Fraction:
        return reading_error(before.look_at(*_readings(finding)).gauges.pads, figures.reading_error.value.millimetres)

    now = ReadNow(wear.now, wear.error, wear.least_history)
    return between_readings(
        record, _readings(finding), now, read, error, lambda before: is_same_lining(before, record, finding.wheel)
    )


def _readings(finding: BrakeFinding) -> tuple[str, str]:
    """Return the paths in the record of the readings of one wheel's lining."""
    return f"brakes.{finding.wheel.value}.pads", f"brakes.{finding.wheel.value}.shoes"


def _typical(at: dict[str, Value], life: Life) -> Said:
    if life.high is None:
        return Said("outlook.wear.open_life_lining", {**at, "low": life.low})
    return Said("outlook.wear.typical_life_lining", {**at, "low": life.low, "high": life.high})
