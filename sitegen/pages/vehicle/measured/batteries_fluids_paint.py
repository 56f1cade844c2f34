"""What was measured besides tires and brakes: batteries, fluids, paint, and whatever else a judge has found."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sitegen.condition.basis.findings import (
    BatteryFinding,
    Condition,
    FluidFinding,
    PaintFinding,
    PlainFinding,
    TractionBatteryFinding,
)
from sitegen.condition.basis.values import Said
from sitegen.pages.language.catalog import Term
from sitegen.pages.language.translator import Fact, Figure, Text, Translator, join_texts
from sitegen.pages.vehicle.measured.how_known import how_measured
from sitegen.pages.vehicle.measured.remark_weight import notable, quiet
from sitegen.records.base import LocalizedText
from sitegen.records.vehicle import Fuel
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import Battery, BrakeFluid, Coolant, Inspection, TractionBattery


@dataclass(frozen=True)
class Panel:
    """Figures about one thing, what they mean, and how they are known."""

    anchor: str
    heading: str
    facts: tuple[Fact, ...]
    remarks: tuple[Text, ...]
    """What asks for attention, and what the technician noted."""
    quiet_remarks: tuple[Text, ...]
    how_known: Text | None
    terms: tuple[Term, ...] = ()


def panels(record: VehicleRecord, condition: Condition, translator: Translator) -> tuple[Panel, ...]:
    """Return a panel for each thing; what this vehicle cannot have is left out, what was not measured is not."""
    made = [_battery(record, condition, translator)]
    if condition.of(TractionBatteryFinding):
        made.insert(0, _traction_battery(record, condition, translator))
    made.append(_fluids(record, condition, translator))
    if record.paint:
        made.append(_paint(record, condition, translator))
    return (*made, *_plain_panels(condition.of(PlainFinding), translator))


def _fact(name: str, value: Figure | None, translator: Translator, missing: str = "measured.not_measured") -> Fact:
    told = translator.say(missing) if value is None else translator.figure(value)
    return Fact(translator.say(f"panel.{name}"), Text(told, None), f"figure-{name.replace('_', '-')}")


def _battery(record: VehicleRecord, condition: Condition, translator: Translator) -> Panel:
    battery = record.battery or Battery()
    remarks = [said for found in condition.of(BatteryFinding) for said in found.remarks]
    is_tested = battery.tested is not None or battery.rest_voltage is not None
    day = battery.tested_on or record.inspection.done_on
    return Panel(
        anchor="battery",
        heading=translator.say("panel.battery"),
        facts=(
            _fact("battery_tested", battery.tested, translator),
            _fact("battery_rated", battery.rated, translator, "table.not_recorded"),
            _fact("battery_rest", battery.rest_voltage, translator),
            _fact("battery_fitted", battery.fitted_on, translator, "table.not_recorded"),
        ),
        remarks=_remarks(remarks, (battery.note,), translator),
        quiet_remarks=translator.tell_sentences(quiet(remarks)),
        how_known=how_measured(day, record.inspection.gauges.battery, translator) if is_tested else None,
        terms=translator.catalog.explained("cca"),
    )


def _traction_battery(record: VehicleRecord, condition: Condition, translator: Translator) -> Panel:
    battery = record.traction_battery or TractionBattery()
    remarks = [said for found in condition.of(TractionBatteryFinding) for said in found.remarks]
    method, day = battery.method, battery.measured_on or record.inspection.done_on
    return Panel(
        anchor="traction-battery",
        heading=translator.say("panel.traction_battery"),
        facts=(
            _fact("health", battery.state_of_health, translator),
            _fact(
                "method", translator.choice("method", method) if method else None, translator, "table.not_recorded"
            ),
            *_of_what_is_charged(record, battery, translator),
        ),
        remarks=_remarks(remarks, (battery.note,), translator),
        quiet_remarks=translator.tell_sentences(quiet(remarks)),
        how_known=how_measured(day, None, translator) if battery.state_of_health else None,
        terms=translator.catalog.explained("state-of-health"),
    )


def _of_what_is_charged(record: VehicleRecord, battery: TractionBattery, translator: Translator) -> Iterator[Fact]:
    """Yield range and energy, which a hybrid that is never plugged in has no use for unless somebody noted them."""
    if record.vehicle.fuel is not Fuel.HYBRID or battery.range_at_full:
        yield _fact("range", battery.range_at_full, translator)
    if record.vehicle.fuel is not Fuel.HYBRID or record.vehicle.battery_energy:
        yield _fact("energy", record.vehicle.battery_energy, translator, "table.not_recorded")


def _fluids(record: VehicleRecord, condition: Condition, translator: Translator) -> Panel:
    remarks = [said for found in condition.of(FluidFinding) for said in found.remarks]
    fluid, coolant = record.brake_fluid or BrakeFluid(), record.coolant or Coolant()
    return Panel(
        anchor="fluids",
        heading=translator.say("panel.fluids"),
        facts=(
            _fact("moisture", fluid.moisture, translator),
            _fact("grade", str(fluid.grade) if fluid.grade else None, translator, "table.not_recorded"),
            _fact("freezes", coolant.freezes_at, translator),
        ),
        remarks=_remarks(remarks, (fluid.note, coolant.note), translator),
        quiet_remarks=translator.tell_sentences(quiet(remarks)),
        how_known=_how_fluids_are_known(fluid, coolant, record.inspection, translator),
        terms=translator.catalog.explained("brake-fluid", "coolant"),
    )


def _paint(record: VehicleRecord, condition: Condition, translator: Translator) -> Panel:
    found = condition.of(PaintFinding)
    return Panel(
        anchor="paint",
        heading=translator.say("panel.paint"),
        facts=tuple(
            Fact(translator.text(panel.panel), Text(_paint_range(panel, translator), None), f"figure-paint-{place}")
            for place, panel in enumerate(found, 1)
        ),
        remarks=tuple(
            translator.tell("panel.paint_at", panel=panel.panel, remarks=join_texts(remarks))
            for panel, reading in zip(found, record.paint, strict=True)
            if (remarks := _remarks(panel.remarks, (reading.note,), translator))
        ),
        quiet_remarks=(),
        how_known=how_measured(record.inspection.done_on, record.inspection.gauges.paint, translator),
        terms=translator.catalog.explained("paint-thickness"),
    )


def _plain_panels(findings: Iterable[PlainFinding], translator: Translator) -> Iterator[Panel]:
    """Yield a panel for each heading, in the order of the judges."""
    by_heading: dict[str, list[Said]] = {}
    for found in findings:
        by_heading.setdefault(found.heading, []).extend(found.remarks)
    for heading, remarks in by_heading.items():
        if remarks:
            yield Panel(
                anchor=heading.replace(".", "-").replace("_", "-"),
                heading=translator.say(heading),
                facts=(),
                remarks=translator.tell_sentences(notable(remarks)),
                quiet_remarks=translator.tell_sentences(quiet(remarks)),
                how_known=None,
            )


def _remarks(
    remarks: Iterable[Said], notes: Iterable[LocalizedText | None], translator: Translator
) -> tuple[Text, ...]:
    return (*translator.tell_sentences(notable(remarks)), *(translator.text(note) for note in notes if note))


def _paint_range(panel: PaintFinding, translator: Translator) -> str:
    if panel.lowest == panel.highest:
        return translator.figure(panel.lowest)
    return translator.say("measured.from_to", low=panel.lowest, high=panel.highest)


def _how_fluids_are_known(
    fluid: BrakeFluid, coolant: Coolant, inspection: Inspection, translator: Translator
) -> Text | None:
    """Say the day of each test; one sentence does for both on one day."""
    fluid_on, coolant_on = fluid.tested_on or inspection.done_on, coolant.tested_on or inspection.done_on
    said = []
    if fluid.moisture is not None:
        said.append(how_measured(fluid_on, inspection.gauges.brake_fluid, translator))
    if coolant.freezes_at is not None and (fluid.moisture is None or coolant_on != fluid_on):
        said.append(translator.tell("measured.how_coolant", day=coolant_on))
    return join_texts(said) if said else None
