"""Judge the tests of the 12 V battery and of the high-voltage battery."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from sitegen.condition.basis.calendar import months_down, years
from sitegen.condition.basis.findings import BatteryFinding, Judged, TractionBatteryFinding
from sitegen.condition.basis.forecast import ItemFacts, NeedFacts, OutlookLine
from sitegen.condition.basis.odometer import in_use_from, may_project, model_year_begins
from sitegen.condition.basis.remarks import renewal_remarks, share_figures, share_of
from sitegen.condition.basis.renewals import renewal_of
from sitegen.condition.basis.values import KnownBy, Said, Span, Value, WholeSpan
from sitegen.condition.outlook.part_life import days_left
from sitegen.records.figures import BatteryFigures, DurabilityStep, Figures, RestVoltage
from sitegen.records.vehicle import Fuel
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import Battery, HealthMethod, TractionBattery

PLUGGED_IN = (Fuel.ELECTRIC, Fuel.PLUG_IN_HYBRID)
DRIVEN_BY_BATTERY = (*PLUGGED_IN, Fuel.HYBRID)


def judge_battery(record: VehicleRecord, figures: Figures, as_of: date) -> Judged:
    """Return the findings about the 12 V battery, and the outlook line of its replacement."""
    battery = record.battery or Battery()
    renewal = renewal_of(record, "battery")
    done = renewal is not None and not renewal.promised
    share = cranking_share(battery)
    bands = figures.batteries.cranking
    finding = BatteryFinding(
        cranking=None if done else share,
        charge=None if done else charge_band(battery, figures.batteries.rest_voltage),
        replace=not done and share is not None and share < bands.replace_below.amount,
        renewed=renewal,
        remarks=(
            *renewal_remarks("battery", renewal),
            *(() if done else _remarks(battery, share, figures.batteries, as_of)),
        ),
    )
    return Judged((finding,), (_line(record, battery, finding, figures.batteries, as_of),))


def cranking_share(battery: Battery) -> Fraction | None:
    """Return the tested divided by the rated cold cranking current: 480 of 600 CCA is 0.8.

    None if either is missing.
    """
    if battery.tested is None or battery.rated is None or battery.rated.amount == 0:
        return None
    return battery.tested.amount / battery.rated.amount


def charge_band(battery: Battery, figures: RestVoltage) -> str | None:
    """Return the band of charge by resting voltage. None if the battery had not rested long enough."""
    voltage = battery.rest_voltage
    if voltage is None or (battery.rested_hours or 0) < figures.rest_hours:
        return None
    return next((band.charge for band in figures.bands if voltage >= band.from_voltage), None)


def _remarks(battery: Battery, share: Fraction | None, figures: BatteryFigures, as_of: date) -> Iterator[Said]:
    if share is not None and battery.tested is not None and battery.rated is not None:
        tested: dict[str, Value] = {"tested": battery.tested, "rated": battery.rated, "share": share_of(share)}
        if share >= figures.cranking.good_from.amount:
            yield Said("battery.good", tested)
        elif share >= figures.cranking.replace_below.amount:
            yield Said("battery.aging", {**tested, "good_from": figures.cranking.good_from})
        else:
            yield Said("battery.replace", {**tested, "replace_below": figures.cranking.replace_below})
    elif battery.tested is not None:
        yield Said("battery.no_rating", {"tested": battery.tested})
    else:
        yield Said("battery.not_tested")
    if battery.rest_voltage is not None:
        volts: dict[str, Value] = {"voltage": battery.rest_voltage}
        charge = charge_band(battery, figures.rest_voltage)
        yield Said("battery.not_rested", volts) if charge is None else Said(f"battery.charge.{charge}", volts)
    if battery.fitted_on is None:
        yield Said("battery.age_not_known")
    else:
        count = max(months_down(battery.fitted_on.latest, as_of) // 12, 0)
        yield Said("battery.age", {"count": count}) if count else Said("battery.age_under_one")


def _line(
    record: VehicleRecord, battery: Battery, finding: BatteryFinding, figures: BatteryFigures, as_of: date
) -> OutlookLine:
    days, known_by, basis = _life(record, battery, finding, figures, as_of)
    again = WholeSpan(figures.life.low, figures.life.high)
    untested = finding.cranking is None and finding.renewed is None
    worst = WholeSpan(0, 0) if untested else _worst_days(battery, finding, figures, as_of, days)
    facts = ItemFacts(
        key="battery",
        need=NeedFacts(None, days),
        again_months=again,
        no_record=known_by is KnownBy.NOT_KNOWN,
        worst=None if worst == days else NeedFacts(None, worst),
    )
    return OutlookLine(facts, known_by, (basis,), ("battery",))


def _worst_days(
    battery: Battery, finding: BatteryFinding, figures: BatteryFigures, as_of: date, days: WholeSpan
) -> WholeSpan:
    """Return the days until the battery is due if it was fitted on the earliest day that the record allows.

    Return `days` if it was renewed, is possibly due already, or has no fitting date.
    """
    if finding.renewed is not None or battery.fitted_on is None or days.low == 0:
        return days
    first = min(battery.fitted_on.earliest, as_of)
    return days_left(figures.life, first, first, as_of)


def _life(
    record: VehicleRecord, battery: Battery, finding: BatteryFinding, figures: BatteryFigures, as_of: date
) -> tuple[WholeSpan, KnownBy, Said]:
    """Return the days until the battery is due, how that is known, and a sentence.

    It is due now if a test is below `replace_below`. It may be due at any time if a test is below `good_from`, or if
    it is past its usual life, even with a good test.
    """
    life: dict[str, Value] = {"low": figures.life.low // 12, "high": figures.life.high // 12}
    if finding.renewed is not None:
        on = finding.renewed.on or as_of
        return days_left(figures.life, on, on, as_of), KnownBy.TYPICAL, Said("outlook.renewed")
    if finding.replace:
        return WholeSpan(0, 0), KnownBy.MEASURED, Said("outlook.battery.replace")
    if battery.fitted_on is None:
        since_new = days_left(figures.life, in_use_from(record, as_of), as_of, as_of)
        return since_new, KnownBy.NOT_KNOWN, Said("outlook.battery.age_not_known", life)
    fitted = battery.fitted_on
    left = days_left(figures.life, min(fitted.earliest, as_of), min(fitted.latest, as_of), as_of)
    good = finding.cranking is not None and finding.cranking >= figures.cranking.good_from.amount
    if finding.cranking is not None and not good:
        return WholeSpan(0, left.high), KnownBy.MEASURED, Said("outlook.battery.aging", life)
    if left.high == 0:
        outlived = "outlook.battery.past_life_good" if good else "outlook.battery.past_life"
        whole = days_left(figures.life, as_of, as_of, as_of)
        return WholeSpan(0, whole.high), KnownBy.FROM_RECORDS, Said(outlived, life)
    return left, KnownBy.FROM_RECORDS, Said("outlook.battery.by_age", life)


def judge_traction_battery(record: VehicleRecord, figures: Figures, as_of: date) -> Judged:
    """Return the findings about the high-voltage battery, and its outlook line.

    Return nothing for a vehicle that no such battery drives, unless the record tests one.
    """
    if record.vehicle.fuel not in DRIVEN_BY_BATTERY and record.traction_battery is None:
        return Judged()
    renewal = renewal_of(record, "traction_battery")
    still_in = renewal is None or renewal.promised
    battery = record.traction_battery if record.traction_battery and still_in else TractionBattery()
    health = battery.state_of_health
    # UN GTR No. 22 covers pure electric vehicles and plug-in hybrids.
    has_rule = figures.region.battery_durability and record.vehicle.fuel in PLUGGED_IN
    step = durability_step(record, figures.batteries, as_of) if has_rule else None
    points = int(figures.batteries.display_error.value.amount * 100)
    likely = None if health is None else _likely(health.amount, battery.method, figures.batteries)
    remarks = _traction_remarks(battery, likely, step, points) if still_in else ()
    finding = TractionBatteryFinding(
        likely=likely,
        method=battery.method,
        floor=None if step is None else step.least,
        range_at_full=battery.range_at_full,
        remarks=(*renewal_remarks("traction_battery", renewal), *remarks),
    )
    return Judged((finding,), (_traction_line(finding, renewal is not None, figures.batteries),))


def _traction_line(finding: TractionBatteryFinding, renewed: bool, figures: BatteryFigures) -> OutlookLine:
    """Return an outlook line without a date, since nobody knows how long such a battery lasts.

    A worn one may be due at any time.
    """
    days, known_by, worn = None, KnownBy.NOT_KNOWN, figures.traction_worn_below.value
    if renewed:
        said = Said("outlook.check.renewed")
    elif finding.likely is None:
        said = Said("outlook.traction_battery.not_measured")
    else:
        known_by, shares = KnownBy.MEASURED, share_figures(finding.likely)
        is_worn = finding.likely.low < worn.amount
        days = WholeSpan(0, None) if is_worn else None
        key = "outlook.traction_battery.worn" if is_worn else "outlook.traction_battery.no_figure"
        said = Said(key, {**shares, "least": worn})
    may_be_worn = not renewed and (finding.likely is None or days is not None)
    worst = NeedFacts(None, WholeSpan(0, 0)) if may_be_worn else None
    facts = ItemFacts("traction_battery", NeedFacts(None, days), worst=worst)
    return OutlookLine(facts, known_by, (said,), ("traction_battery",))


def durability_step(record: VehicleRecord, figures: BatteryFigures, as_of: date) -> DurabilityStep | None:
    """Return the step of UN GTR No. 22 for the vehicle's age or distance, whichever is further on.

    None after the last.

    4.9 years and 90,000 km are in the first step; after 8 years or 160,000 km there is none. A step is a minimum for
    types in approval, not a promise for one vehicle.
    """
    age = years(model_year_begins(record), as_of)
    reading = record.odometer.reading if may_project(record) else None
    for step in figures.durability:
        if age <= step.years and (reading is None or reading <= step.distance):
            return step
    return None


def _likely(health: Fraction, method: HealthMethod | None, figures: BatteryFigures) -> Span:
    """Return the range of the share that is left.

    A capacity test counts as exact. Any other method, such as a display, may be off by about five points either way.
    """
    if method is HealthMethod.CAPACITY_TEST:
        return Span.at(health)
    error = figures.display_error.value.amount
    return Span(max(health - error, Fraction(0)), min(health + error, Fraction(1)))


def _traction_remarks(
    battery: TractionBattery, likely: Span | None, step: DurabilityStep | None, points: int
) -> Iterator[Said]:
    if battery.state_of_health is None or likely is None:
        yield Said("traction_battery.not_measured")
    else:
        method = "vehicle_display" if battery.method is None else battery.method.value.replace(" ", "_")
        yield Said(
            f"traction_battery.{method}",
            {"health": battery.state_of_health, "points": points, **share_figures(likely)},
        )
        if step is not None:
            floor: dict[str, Value] = {"least": step.least, "years": step.years, "distance": step.distance}
            key = "below_floor" if battery.state_of_health < step.least else "above_floor"
            yield Said(f"traction_battery.{key}", floor)
    if battery.range_at_full is not None:
        yield Said("traction_battery.range", {"range": battery.range_at_full})
