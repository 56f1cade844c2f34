"""The sentences about one tire: depth, wear, age, size, what was done. Every one is a message key with its
figures."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from sitegen.condition.basis.calendar import whole_years
from sitegen.condition.basis.checks import found_at, settled_defects
from sitegen.condition.basis.findings import TireFinding, WearShape
from sitegen.condition.basis.remarks import renewal_remarks, share_figures, share_of
from sitegen.condition.basis.values import KnownBy, Said, Span, Tread, Value, Word
from sitegen.condition.tires.date_codes import CodeFault
from sitegen.condition.tires.tire_sizes import parse_size
from sitegen.records.disclosure import CheckResult
from sitegen.records.figures import Figures, TireAges
from sitegen.records.vehicle import Axle, Wheel, axle_of
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wheels.tires import Tire, TireKind


def tire_remarks(
    finding: TireFinding,
    tire: Tire,
    fault: CodeFault | None,
    record: VehicleRecord,
    figures: Figures,
    as_of: date,
) -> tuple[Said, ...]:
    """Return the sentences about a tire, the most important first."""
    if finding.wheel is Wheel.SPARE:
        renewed = renewal_remarks("tire", finding.renewed)
        is_on = finding.renewed is None or finding.renewed.promised
        own = (*_temporary(finding, tire), *_carries(finding, tire, figures, dual=False)) if is_on else ()
        return (*renewed, *own, *_depth(finding), *_age(finding, tire, fault, figures.tires.ages, as_of))
    return (
        *renewal_remarks("tire", finding.renewed),
        *_damage(finding, record, figures),
        *_depth(finding),
        *_shape(finding, record, figures),
        *_age(finding, tire, fault, figures.tires.ages, as_of),
        *_pressure(finding, tire, record, figures),
        *_size(finding, tire, record, figures),
    )


def damaged(record: VehicleRecord, figures: Figures, wheel: Wheel) -> bool:
    """Return whether a defect at this wheel ends the tire's life and has not been put right."""
    settled = settled_defects(record)
    return any(
        defect.kind in figures.tires.ends_life and defect.where.is_at(wheel)
        for defect in record.defects
        if defect.id not in settled
    )


def _damage(finding: TireFinding, record: VehicleRecord, figures: Figures) -> Iterator[Said]:
    if damaged(record, figures, finding.wheel):
        yield Said("tire.damaged")


def _depth(finding: TireFinding) -> Iterator[Said]:
    lowest, limit = finding.lowest, finding.limit
    if lowest is None:
        yield Said("tire.not_measured")
        return
    if finding.renewed is not None and not finding.renewed.promised:
        return
    depths: dict[str, Value] = {
        "lowest": Tread(lowest),
        "place": Word(f"place.{finding.lowest_place}"),
        "plan": Tread(finding.plan.value),
    }
    if limit is None:
        yield Said("tire.no_limit", depths)
    else:
        depths["limit"] = Tread(limit.value)
        if lowest < limit.value:
            yield Said("tire.below_limit", depths)
        elif lowest == limit.value:
            yield Said("tire.at_limit", depths)
        else:
            yield Said("tire.plan" if lowest <= finding.plan.value else "tire.above_limit", depths)
    if finding.usable is not None and finding.of_original is not None and not finding.below_limit:
        yield from _shares(finding, finding.usable, finding.of_original)


def _shares(finding: TireFinding, usable: Span, of_original: Span) -> Iterator[Said]:
    if finding.new.known_by is KnownBy.TYPICAL:
        new: dict[str, Value] = {"new_low": Tread(finding.new.low), "new_high": Tread(finding.new.high)}
        yield Said("tire.usable_typical", {**share_figures(usable), **new})
    elif finding.lowest is not None and finding.lowest > finding.new.low:
        yield Said("tire.more_than_new", {"lowest": Tread(finding.lowest), "new": Tread(finding.new.low)})
    else:
        yield Said(
            "tire.usable",
            {
                "share": share_of(usable.low),
                "of_original": share_of(of_original.low),
                "new": Tread(finding.new.low),
            },
        )


_SHAPES = {
    WearShape.BOTH_SHOULDERS: "tire.wear.both_shoulders",
    WearShape.CENTER: "tire.wear.center",
    WearShape.OUTER_SIDE: "tire.wear.outer_side",
    WearShape.INNER_SIDE: "tire.wear.inner_side",
    WearShape.EVEN: "tire.wear.even",
}


def _shape(finding: TireFinding, record: VehicleRecord, figures: Figures) -> Iterator[Said]:
    if finding.spread is None or finding.shape not in _SHAPES:
        return
    yield Said(_SHAPES[finding.shape], {"spread": Tread(finding.spread)})
    if finding.shape in (WearShape.OUTER_SIDE, WearShape.INNER_SIDE):
        good = found_at(record, "wheel_alignment", figures.vocabulary) is CheckResult.GOOD
        yield Said("tire.wear.aligned" if good else "tire.wear.ask_for_alignment")


def _age(finding: TireFinding, tire: Tire, fault: CodeFault | None, ages: TireAges, as_of: date) -> Iterator[Said]:
    if finding.renewed is not None and not finding.renewed.promised:
        return
    if fault is not None:
        yield Said(f"tire.date_code.{fault.value.replace(' ', '_')}", {"code": tire.date_code or ""})
    elif tire.date_code is None:
        yield Said("tire.date_code.not_recorded")
    elif finding.made is None:
        yield Said("tire.date_code.not_visible")
    elif finding.made.week_begins is None:
        yield Said("tire.date_code.before_2000", {"code": tire.date_code})
    else:
        count = whole_years(finding.made.week_begins, as_of)
        year = str(finding.made.week_begins.year)
        made: dict[str, Value] = {"week": finding.made.week, "year": year}
        yield Said("tire.age", {"count": count, **made}) if count else Said("tire.age_under_one", made)
        if count >= ages.replace_by_years:
            yield Said("tire.age_over", {"years": ages.replace_by_years})
        elif count >= ages.replace_from_years:
            yield Said("tire.age_some_replace", {"from": ages.replace_from_years, "by": ages.replace_by_years})
        elif count >= ages.check_from_years:
            yield Said("tire.age_check", {"from": ages.check_from_years})


def _temporary(finding: TireFinding, tire: Tire) -> Iterator[Said]:
    """Yield a sentence on how far and how fast a temporary spare may be driven; nothing for other tires.

    Source: UN Regulation No. 64, sidewall marking.
    """
    if tire.kind is TireKind.INFLATABLE_SPARE:
        yield Said("tire.inflatable_spare")
    elif tire.kind is TireKind.SPARE or (finding.size is not None and finding.size.is_temporary):
        yield Said("tire.temporary_spare")


def _carries(finding: TireFinding, tire: Tire, figures: Figures, *, dual: bool) -> Iterator[Said]:
    """Yield sentences on the load of a tire, alone and as one of two on a side, and on its load range.

    120/117R carries 1,400 kg (3,086 lb) alone and 1,285 kg (2,833 lb) as one of two, at 170 km/h (106 mph) at most.
    """
    size = finding.size
    if size is None:
        return
    loads, speeds = figures.tires.load_index.kilograms, figures.tires.speed_symbol.kilometres_an_hour
    load, speed = loads.get(size.load_index or 0), speeds.get(size.speed_symbol or "")
    if load is not None and speed is not None:
        is_spare = (tire.kind is not None and tire.kind.is_temporary) or size.is_temporary
        of_two = loads.get(size.load_index_dual or 0)
        figure: dict[str, Value] = {
            **_weight(load),
            "kilometres_an_hour": speed,
            "miles_an_hour": round(speed / Fraction("1.609344")),
        }
        if is_spare:
            yield Said("tire.load_of_spare", _weight(load))
        elif of_two is None:
            yield Said("tire.load_not_as_one_of_two" if dual else "tire.load_and_speed", figure)
        else:
            yield Said("tire.load_and_speed_dual", {**figure, **_weight(of_two, "_of_two")})
    if size.load_range is not None:
        yield Said("tire.load_range", {"letter": size.load_range})


def _weight(kilograms: int, suffix: str = "") -> dict[str, Value]:
    pounds = round(kilograms / Fraction("0.45359237"))
    return {f"kilograms{suffix}": kilograms, f"pounds{suffix}": pounds}


def _pressure(finding: TireFinding, tire: Tire, record: VehicleRecord, figures: Figures) -> Iterator[Said]:
    placard = record.tires.placard_pressure_of(axle_of(finding.wheel))
    if tire.pressure is None or placard is None:
        return
    words: dict[str, Value] = {"pressure": tire.pressure, "placard": placard}
    short = 1 - tire.pressure.amount / placard.amount
    is_soft = short >= figures.tires.pressure_below_placard.value.amount
    yield Said("tire.pressure_low" if is_soft else "tire.pressure", words)


def _size(finding: TireFinding, tire: Tire, record: VehicleRecord, figures: Figures) -> Iterator[Said]:
    size = finding.size
    if size is None:
        return
    dual = record.tires.is_dual and axle_of(finding.wheel) is Axle.REAR
    yield from _carries(finding, tire, figures, dual=dual)
    loads, speeds = figures.tires.load_index.kilograms, figures.tires.speed_symbol.kilometres_an_hour
    load, speed = loads.get(size.load_index_as(dual=dual) or 0), speeds.get(size.speed_symbol or "")
    written = record.tires.placard_size_of(axle_of(finding.wheel))
    placard = parse_size(written) if written else None
    if placard is None:
        return
    words: dict[str, Value] = {"fitted": size.written, "placard": placard.written}
    if (size.section_width, size.diameter, size.rim) != (placard.section_width, placard.diameter, placard.rim):
        yield Said("tire.not_placard_size", words)
    placard_load, placard_speed = (
        loads.get(placard.load_index_as(dual=dual) or 0),
        speeds.get(placard.speed_symbol or ""),
    )
    if load is not None and placard_load is not None and load < placard_load:
        yield Said("tire.load_below_placard", words)
    # Winter tires may have a lower speed class, so they get no sentence about it (common practice).
    if tire.kind is not TireKind.WINTER and speed is not None and placard_speed is not None and speed < placard_speed:
        yield Said("tire.speed_below_placard", words)
