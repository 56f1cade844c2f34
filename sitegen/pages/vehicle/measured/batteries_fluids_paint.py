"""Views of measurements besides tires and brakes: batteries, fluids, paint, and findings of other judges."""

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
from sitegen.records.wear import Battery, BrakeFluid, Coolant, TractionBattery


@dataclass(frozen=True)
class Panel:
    """A group of figures, such as those of the battery, with remarks and how the figures are known."""

    anchor: str
    heading: str
    facts: tuple[Fact, ...]
    remarks: tuple[Text, ...]
    """The remarks that ask for attention, then the technician's notes."""
    quiet_remarks: tuple[Text, ...]
    how_known: Text | None
    terms: tuple[Term, ...] = ()


def panels(record: VehicleRecord, condition: Condition, translator: Translator) -> tuple[Panel, ...]:
    """Return the panels of a vehicle. Figures that were not measured are shown as such, not left out."""
    own = [_battery(record, condition, translator)]
    if condition.of(TractionBatteryFinding):
        own.insert(0, _traction_battery(record, condition, translator))
    own.append(_fluids(record, condition, translator))
    if record.paint:
        own.append(_paint(record, condition, translator))
    return (*own, *_plain_panels(condition.of(PlainFinding), translator))


def _fact(name: str, value: Figure | None, translator: Translator, missing: str = "measured.not_measured") -> Fact:
    written = translator.say(missing) if value is None else translator.figure(value)
    return Fact(translator.say(f"panel.{name}"), Text(written, None), f"figure-{name.replace('_', '-')}")


def _battery(record: VehicleRecord, condition: Condition, translator: Translator) -> Panel:
    battery = record.battery or Battery()
    remarks = [said for finding in condition.of(BatteryFinding) for said in finding.remarks]
    is_tested = battery.tested is not None or battery.rest_voltage is not None
    look = record.look_at("battery.tested", "battery.rest_voltage")
    day = battery.tested_on or look.on
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
        how_known=how_measured(day, look.gauges.battery, translator) if is_tested else None,
        terms=translator.catalog.explained("cca"),
    )


def _traction_battery(record: VehicleRecord, condition: Condition, translator: Translator) -> Panel:
    battery = record.traction_battery or TractionBattery()
    remarks = [said for finding in condition.of(TractionBatteryFinding) for said in finding.remarks]
    method = battery.method
    day = battery.measured_on or record.look_at("traction_battery.state_of_health").on
    return Panel(
        anchor="traction-battery",
        heading=translator.say("panel.traction_battery"),
        facts=(
            _fact("health", battery.state_of_health, translator),
            _fact(
                "method", translator.choice("method", method) if method else None, translator, "table.not_recorded"
            ),
            *_range_and_energy(record, battery, translator),
        ),
        remarks=_remarks(remarks, (battery.note,), translator),
        quiet_remarks=translator.tell_sentences(quiet(remarks)),
        how_known=how_measured(day, None, translator) if battery.state_of_health else None,
        terms=translator.catalog.explained("state-of-health"),
    )


def _range_and_energy(record: VehicleRecord, battery: TractionBattery, translator: Translator) -> Iterator[Fact]:
    """Yield range and energy. A hybrid that is never plugged in gets only those that the record has."""
    if record.vehicle.fuel is not Fuel.HYBRID or battery.range_at_full:
        yield _fact("range", battery.range_at_full, translator)
    if record.vehicle.fuel is not Fuel.HYBRID or record.vehicle.battery_energy:
        yield _fact("energy", record.vehicle.battery_energy, translator, "table.not_recorded")


def _fluids(record: VehicleRecord, condition: Condition, translator: Translator) -> Panel:
    remarks = [said for finding in condition.of(FluidFinding) for said in finding.remarks]
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
        how_known=_how_fluids_are_known(record, fluid, coolant, translator),
        terms=translator.catalog.explained("brake-fluid", "coolant"),
    )


def _paint(record: VehicleRecord, condition: Condition, translator: Translator) -> Panel:
    findings = condition.of(PaintFinding)
    return Panel(
        anchor="paint",
        heading=translator.say("panel.paint"),
        facts=tuple(
            Fact(translator.text(panel.panel), Text(_paint_range(panel, translator), None), f"figure-paint-{place}")
            for place, panel in enumerate(findings, 1)
        ),
        remarks=tuple(
            translator.tell("panel.paint_at", panel=panel.panel, remarks=join_texts(remarks))
            for panel, reading in zip(findings, record.paint, strict=True)
            if (remarks := _remarks(panel.remarks, (reading.note,), translator))
        ),
        quiet_remarks=(),
        how_known=how_measured(record.look_at("paint").on, record.look_at("paint").gauges.paint, translator),
        terms=translator.catalog.explained("paint-thickness"),
    )


def _plain_panels(findings: Iterable[PlainFinding], translator: Translator) -> Iterator[Panel]:
    """Yield a panel for each heading of the plain findings, in the order of the judges."""
    by_heading: dict[str, list[Said]] = {}
    for finding in findings:
        by_heading.setdefault(finding.heading, []).extend(finding.remarks)
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
    record: VehicleRecord, fluid: BrakeFluid, coolant: Coolant, translator: Translator
) -> Text | None:
    """Return the day of each test, in one sentence if both were on the same day. None if neither fluid was tested."""
    of_fluid = record.look_at("brake_fluid.moisture")
    fluid_on = fluid.tested_on or of_fluid.on
    coolant_on = coolant.tested_on or record.look_at("coolant.freezes_at").on
    sentences = []
    if fluid.moisture is not None:
        sentences.append(how_measured(fluid_on, of_fluid.gauges.brake_fluid, translator))
    if coolant.freezes_at is not None and (fluid.moisture is None or coolant_on != fluid_on):
        sentences.append(translator.tell("measured.how_coolant", day=coolant_on))
    return join_texts(sentences) if sentences else None
