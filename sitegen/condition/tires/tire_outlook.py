"""Project how long the tires will last: by tread or by age, whichever ends first.

Tires of an axle are replaced together; all four if all four must match. The tire that wears out first decides.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction

from sitegen.condition.basis.findings import TireFinding, WearShape
from sitegen.condition.basis.forecast import ItemFacts, OutlookLine
from sitegen.condition.basis.odometer import may_project, why_no_projection
from sitegen.condition.basis.renewals import wear_ended_by
from sitegen.condition.basis.values import KnownBy, Said, Span, Tread, Value, WholeSpan, Word
from sitegen.condition.outlook.distances import as_span, distance_of, driven_of, hundredths, whole_span
from sitegen.condition.outlook.part_life import (
    AT_ONCE,
    NOTHING_LEFT,
    PartLife,
    days_left,
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
from sitegen.condition.outlook.projection import Projection, Wear, longest, most_counted_on, project, project_as_mates
from sitegen.condition.since.read_before import ReadNow, between_readings
from sitegen.condition.since.same_part import is_same_tire
from sitegen.condition.since.wear_between import Between, by_wear_between, is_better
from sitegen.condition.tires.tire_remarks import damaged
from sitegen.records.figures import DistanceUnit, Figures, TireAges, TireFigures
from sitegen.records.quantities import Depth
from sitegen.records.sourced import Months
from sitegen.records.vehicle import Wheel
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import Gauge
from sitegen.records.wheels.tires import Tire

PLACES = ("outer", "center", "inner")
PLACES_ACROSS = len(PLACES)
ALIGNMENT = ("services.wheel_alignment", "wheel_alignment")
"""Names that `renews` may use for work that ends one-sided wear."""


def tire_lines(
    record: VehicleRecord, figures: Figures, findings: Mapping[Wheel, TireFinding], as_of: date
) -> tuple[OutlookLine, ...]:
    """Return one outlook line per axle, or one for the set if all tires must match."""
    by_axle = {f"{axle}_tires": wheels for axle, wheels in record.tires.axles.items()}
    is_a_set = record.vehicle.drive in figures.tires.matched_set
    groups = {"all_tires": record.tires.on_the_ground} if is_a_set else by_axle
    return tuple(
        _line(key, [findings[wheel] for wheel in wheels], record, figures, as_of) for key, wheels in groups.items()
    )


def _line(key: str, tires: list[TireFinding], record: VehicleRecord, figures: Figures, as_of: date) -> OutlookLine:
    unit = figures.region.units.distance
    old = first_to_go([_life(replace(tire, renewed=None), record, figures, as_of) for tire in tires])
    life = no_sooner_than(first_to_go([_life(tire, record, figures, as_of) for tire in tires]), old)
    is_a_set = record.vehicle.drive in figures.tires.matched_set
    group = "set" if is_a_set else "pair" if len(tires) == 2 else "dual"
    together = Said(f"outlook.tires.{group}", {} if group == "pair" else {"number": len(tires)})
    unmeasured = [tire for tire in tires if tire.lowest is None and tire.renewed is None]
    partly = [Said("outlook.tires.not_all_measured", {"count": len(unmeasured)})] if unmeasured else []
    if not may_project(record):
        partly.append(why_no_projection(record))
    need, worst = need_of(life, unit)
    return OutlookLine(
        facts=ItemFacts(
            key=key,
            need=need,
            again_distance=hundredths(as_span(figures.tires.life), unit),
            again_months=_of_age(figures.tires.ages),
            not_measured=life.not_measured,
            worst=worst,
        ),
        known_by=life.known_by,
        basis=(*life.basis, *partly, together),
        services=("tire",),
        count=len(tires),
    )


def _life(finding: TireFinding, record: VehicleRecord, figures: Figures, as_of: date) -> PartLife:
    """Return the life of one tire. If its age is unknown or it was not measured across, it is due at worst."""
    life = _known_life(finding, record, figures, as_of)
    tire = record.tires.at(finding.wheel)
    if finding.renewed is not None:
        return life
    is_whole = tire is not None and tire.tread is not None and len(tire.tread.measured()) == PLACES_ACROSS
    if is_whole and finding.made is not None and record.states("defects"):
        return life
    return replace(life, worst=AT_ONCE)


def _known_life(finding: TireFinding, record: VehicleRecord, figures: Figures, as_of: date) -> PartLife:
    life = as_span(figures.tires.life)
    if finding.renewed is not None:
        distance = life_of_renewed(record, life, finding.renewed)
        ages = _ages(figures.tires.ages)
        on = finding.renewed.on or as_of
        return PartLife(distance, days_left(ages, on, on, as_of), KnownBy.TYPICAL, (Said("outlook.renewed"),))
    days = _days_by_age(finding, figures.tires.ages, as_of)
    over_age = days is not None and days.high == 0
    by_age = KnownBy.NOT_KNOWN if days is None else KnownBy.FROM_RECORDS
    if damaged(record, figures, finding.wheel):
        return PartLife(None, WholeSpan(0, 0), KnownBy.MEASURED, (Said("outlook.tires.damaged", _at(finding)),))
    if over_age:
        return PartLife(None, days, KnownBy.FROM_RECORDS, (Said("outlook.tires.over_age", _at(finding)),))
    if finding.lowest is None or finding.limit is None:
        return not_measured(life, days, by_age, _by_age(days))
    if finding.lowest <= finding.limit.value:
        lowest: dict[str, Value] = {
            **_at(finding),
            "lowest": Tread(finding.lowest),
            "limit": Tread(finding.limit.value),
        }
        return PartLife(NOTHING_LEFT, days, KnownBy.MEASURED, (Said("outlook.tires.worn_out", lowest),))
    if not may_project(record):
        return not_measured(life, days, by_age, _by_age(days))
    return _by_tread(finding, finding.lowest, finding.limit.value, days, record, figures, as_of)


def _by_tread(
    finding: TireFinding,
    lowest: Depth,
    limit: Depth,
    days: WholeSpan | None,
    record: VehicleRecord,
    figures: Figures,
    as_of: date,
) -> PartLife:
    tire = record.tires.at(finding.wheel) or Tire()
    wear = Wear(
        now=lowest.millimetres,
        error=tread_error(lowest, record.look_at(_reading(finding)).gauges.tread, figures.tires),
        new_low=finding.new.low.millimetres,
        new_high=finding.new.high.millimetres,
        worn_out=limit.millimetres,
        life=as_span(figures.tires.life),
        driven=driven_since_fitted(record, tire.fitted_at, f"tires.{finding.wheel.value}", (_reading(finding),)),
        least_history=figures.tires.least_history.value.metres,
    )
    projection = project(wear, limit.millimetres)
    if projection is None:
        contradiction = Said("outlook.wear.more_than_new", _at(finding))
        return not_measured(wear.life, days, KnownBy.NOT_KNOWN, (contradiction, *_by_age(days)))
    since = driven_since_measured(record, _reading(finding))
    unit = figures.region.units.distance
    by_age = days or _made_by_then(tire, figures.tires.ages, as_of)
    between, span = _between(finding, wear, record, figures), None
    if between is not None and limit < lowest:
        usable = wear.new_low - wear.worn_out
        span = by_wear_between(between, limit.millimetres, usable, longest(wear.life))
        if span is not None and not is_better(span, projection.span, projection.own_history):
            span = None
    most = projection.most or most_counted_on(wear, limit.millimetres)
    if between is not None and span is not None:
        how = Said("outlook.wear.between_tire", {**_at(finding), **_told(between, lowest, unit)})
        return PartLife(
            minus(span, since),
            by_age,
            KnownBy.MEASURED,
            (how, Said("outlook.tires.to_limit", {"limit": Tread(limit)}), *_by_age(days)),
            own_wear=True,
            most=minus(most, since),
        )
    projection, ended = _after_alignment(finding, wear, limit, projection, record)
    basis = [
        _how(finding, projection.own_history, wear, figures.tires, unit),
        *ended,
        Said("outlook.tires.to_limit", {"limit": Tread(limit)}),
    ]
    if projection.held:
        basis.append(Said("outlook.wear.held"))
    plan = project(wear, finding.plan.value.millimetres)
    if plan is not None and limit < finding.plan.value < lowest and not ended:
        basis.append(_to_plan(minus(plan.span, since), finding, unit))
    return PartLife(
        minus(projection.span, since),
        by_age,
        KnownBy.FROM_RECORDS if projection.own_history else KnownBy.TYPICAL,
        (*basis, *_by_age(days)),
        own_wear=projection.own_history,
        most=minus(most, since) if projection.own_history else None,
        worst=None if projection.worst is None else (minus(projection.worst, since), by_age),
    )


def _after_alignment(
    finding: TireFinding,
    wear: Wear,
    limit: Depth,
    projection: Projection,
    record: VehicleRecord,
) -> tuple[Projection, tuple[Said, ...]]:
    """Return the projection of an edge that wore faster, after its cause was repaired.

    From then on it wears like the rest of the tire: between the rates of the fastest and the slowest of the other
    places, each reading as far off as it may be.
    """
    tire = record.tires.at(finding.wheel)
    ended = wear_ended_by(record, f"tires.{finding.wheel.value}", *ALIGNMENT)
    one_sided = finding.shape in (WearShape.OUTER_SIDE, WearShape.INNER_SIDE)
    if ended is None or not one_sided or not projection.own_history or tire is None or tire.tread is None:
        return projection, ()
    others = [
        depth.millimetres
        for place in PLACES
        if place != finding.lowest_place and (depth := getattr(tire.tread, place)) is not None
    ]
    mended = project_as_mates(wear, others, limit.millimetres)
    if mended is None:
        return projection, ()
    words: dict[str, Value] = {**_at(finding), "what": ended.what}
    return replace(mended, worst=projection.worst), (Said("outlook.tires.aligned", words),)


def _between(finding: TireFinding, wear: Wear, record: VehicleRecord, figures: Figures) -> Between | None:
    """Return the reading now and the latest earlier one of this tire, at the place that is the lowest now.

    None if there is no earlier one.
    """

    def read(before: VehicleRecord) -> Depth | None:
        tire = before.tires.at(finding.wheel)
        if tire is None or tire.tread is None or finding.lowest_place is None:
            return None
        depth: Depth | None = getattr(tire.tread, finding.lowest_place)
        return depth

    def error(before: VehicleRecord, was: Depth) -> Fraction:
        return tread_error(was, before.look_at(_reading(finding)).gauges.tread, figures.tires)

    now = ReadNow(wear.now, wear.error, wear.least_history)
    return between_readings(
        record, (_reading(finding),), now, read, error, lambda before: is_same_tire(before, record, finding.wheel)
    )


def _reading(finding: TireFinding) -> str:
    """Return the path of the lowest reading of a tire."""
    return f"tires.{finding.wheel.value}.tread.{finding.lowest_place}"


def _told(between: Between, lowest: Depth, unit: DistanceUnit) -> dict[str, Value]:
    driven = driven_of(between.driven, unit)
    return {"was": Tread(between.was), "on": between.on, "now": Tread(lowest), "driven": driven}


def tread_error(reading: Depth, gauge: Gauge | None, figures: TireFigures) -> Fraction:
    """Return how far a reading may be off, in millimetres: the usual error of such a gauge, or half its step if
    larger.

    Half a 32nd of an inch is 0.396875 mm.
    """
    errors = figures.reading_error
    usual = errors.thirty_seconds if reading.written.endswith("in") else errors.millimetres
    return reading_error(gauge, usual.value.millimetres)


def _how(finding: TireFinding, own_history: bool, wear: Wear, figures: TireFigures, unit: DistanceUnit) -> Said:
    if own_history and wear.driven is not None:
        driven = driven_of(wear.driven, unit)
        words: dict[str, Value] = {**_at(finding), "new": Tread(finding.new.low), "driven": driven}
        if wear.new_low < wear.new_high:
            return Said("outlook.wear.own_history_tire_usual_new", {**words, "new_high": Tread(finding.new.high)})
        return Said("outlook.wear.own_history_tire", words)
    life: dict[str, Value] = {**_at(finding), "low": figures.life.low}
    return Said("outlook.wear.typical_life_tire", {**life, "high": figures.life.high or figures.life.low})


def _to_plan(span: Span, finding: TireFinding, unit: DistanceUnit) -> Said:
    whole = whole_span(span, unit)
    words: dict[str, Value] = {"plan": Tread(finding.plan.value), "low": distance_of(whole.low, unit)}
    return Said("outlook.tires.to_plan", {**words, "high": distance_of(whole.high or whole.low, unit)})


def _days_by_age(finding: TireFinding, ages: TireAges, as_of: date) -> WholeSpan | None:
    if finding.made is None:
        return None
    if finding.made.earliest is None:
        return WholeSpan(0, 0)
    return days_left(_ages(ages), finding.made.earliest, finding.made.latest, as_of)


def _made_by_then(tire: Tire, ages: TireAges, as_of: date) -> WholeSpan:
    """Return the days left by age of a tire of unknown age, if it is as young as possible.

    It was made before it was fitted, and before that day. It may well be older, and the line says so.
    """
    made = min(tire.fitted_on.latest, as_of) if tire.fitted_on is not None else as_of
    return days_left(_ages(ages), made, made, as_of)


def _ages(ages: TireAges) -> Months:
    return Months(low=12 * ages.replace_from_years, high=12 * ages.replace_by_years)


def _of_age(ages: TireAges) -> WholeSpan:
    return WholeSpan(12 * ages.replace_from_years, 12 * ages.replace_by_years)


def _by_age(days: WholeSpan | None) -> tuple[Said, ...]:
    return (Said("outlook.tires.age_not_known"),) if days is None else (Said("outlook.tires.age"),)


def _at(finding: TireFinding) -> dict[str, Value]:
    return {"wheel": Word(f"at_wheel.{finding.wheel.value}")}
