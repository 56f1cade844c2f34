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
from sitegen.records.vehicle import Wheel
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import Tire, TireKind


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
        return (*renewed, *_depth(finding), *_age(finding, tire, fault, figures.tires.ages, as_of))
    return (
        *renewal_remarks("tire", finding.renewed),
        *_damage(finding, record, figures),
        *_depth(finding),
        *_shape(finding, record, figures),
        *_age(finding, tire, fault, figures.tires.ages, as_of),
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


def _size(finding: TireFinding, tire: Tire, record: VehicleRecord, figures: Figures) -> Iterator[Said]:
    if tire.size is not None and finding.size is None:
        yield Said("tire.size_unreadable", {"size": tire.size})
    size = finding.size
    if size is None:
        return
    loads, speeds = figures.tires.load_index.kilograms, figures.tires.speed_symbol.kilometres_an_hour
    load, speed = loads.get(size.load_index or 0), speeds.get(size.speed_symbol or "")
    if load is not None and speed is not None:
        carried: dict[str, Value] = {
            "kilograms": load,
            "pounds": round(load / Fraction("0.45359237")),
            "kilometres_an_hour": speed,
            "miles_an_hour": round(speed / Fraction("1.609344")),
        }
        yield Said("tire.load_and_speed", carried)
    placard = parse_size(record.tires.placard_size) if record.tires.placard_size else None
    if placard is None:
        return
    words: dict[str, Value] = {"fitted": size.written, "placard": placard.written}
    if (size.section_width, size.diameter, size.rim) != (placard.section_width, placard.diameter, placard.rim):
        yield Said("tire.not_placard_size", words)
    placard_load, placard_speed = loads.get(placard.load_index or 0), speeds.get(placard.speed_symbol or "")
    if load is not None and placard_load is not None and load < placard_load:
        yield Said("tire.load_below_placard", words)
    # Winter tires may have a lower speed class, so they get no sentence about it (common practice).
    if tire.kind is not TireKind.WINTER and speed is not None and placard_speed is not None and speed < placard_speed:
        yield Said("tire.speed_below_placard", words)
