"""What was measured besides tires and brakes: batteries, fluids, paint."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sitegen.condition.findings import BatteryFinding, Condition, FluidFinding, PaintFinding, TractionBatteryFinding
from sitegen.condition.values import Said
from sitegen.pages.emphasis import notable, quiet
from sitegen.pages.identity import Fact
from sitegen.pages.voice import Figure, Told, Voice, joined
from sitegen.pages.words import Term
from sitegen.records.base import Text
from sitegen.records.disclosure import Gauge
from sitegen.records.inspection import VehicleRecord
from sitegen.records.wear import Battery, BrakeFluid, Coolant, TractionBattery


@dataclass(frozen=True)
class Panel:
    """Figures about one thing, what they mean, and how they are known."""

    anchor: str
    heading: str
    facts: tuple[Fact, ...]
    remarks: tuple[Told, ...]
    """What asks for attention, and what the technician noted."""
    quiet_remarks: tuple[Told, ...]
    how_known: Told | None
    terms: tuple[Term, ...] = ()


def panels(record: VehicleRecord, condition: Condition, voice: Voice) -> tuple[Panel, ...]:
    """Return a panel for each thing; what this vehicle cannot have is left out, what was not measured is not."""
    made = [_battery(record, condition, voice)]
    if record.vehicle.battery_energy or record.traction_battery:
        made.insert(0, _traction_battery(record, condition, voice))
    made.append(_fluids(record, condition, voice))
    if record.paint:
        made.append(_paint(condition, voice))
    return tuple(made)


def _fact(name: str, value: Figure | None, voice: Voice, missing: str = "measured.not_measured") -> Fact:
    told = voice.say(missing) if value is None else voice.figure(value)
    return Fact(voice.say(f"panel.{name}"), Told(told, None))


def _battery(record: VehicleRecord, condition: Condition, voice: Voice) -> Panel:
    battery = record.battery or Battery()
    remarks = [said for found in condition.of(BatteryFinding) for said in found.remarks]
    return Panel(
        anchor="battery",
        heading=voice.say("panel.battery"),
        facts=(
            _fact("battery_tested", battery.tested, voice),
            _fact("battery_rated", battery.rated, voice, "table.not_recorded"),
            _fact("battery_rest", battery.rest_voltage, voice),
            _fact("battery_fitted", battery.fitted_on, voice, "table.not_recorded"),
        ),
        remarks=_remarks(remarks, (battery.note,), voice),
        quiet_remarks=voice.tell_sentences(quiet(remarks)),
        how_known=_how(record, record.inspection.gauges.battery, voice) if record.battery else None,
        terms=voice.words.explained("cca"),
    )


def _traction_battery(record: VehicleRecord, condition: Condition, voice: Voice) -> Panel:
    battery = record.traction_battery or TractionBattery()
    remarks = [said for found in condition.of(TractionBatteryFinding) for said in found.remarks]
    method = battery.method
    return Panel(
        anchor="traction-battery",
        heading=voice.say("panel.traction_battery"),
        facts=(
            _fact("health", battery.state_of_health, voice),
            _fact("method", voice.choice("method", method) if method else None, voice, "table.not_recorded"),
            _fact("range", battery.range_at_full, voice),
            _fact("energy", record.vehicle.battery_energy, voice, "table.not_recorded"),
        ),
        remarks=_remarks(remarks, (battery.note,), voice),
        quiet_remarks=voice.tell_sentences(quiet(remarks)),
        how_known=_how(record, None, voice) if record.traction_battery else None,
        terms=voice.words.explained("state-of-health"),
    )


def _fluids(record: VehicleRecord, condition: Condition, voice: Voice) -> Panel:
    remarks = [said for found in condition.of(FluidFinding) for said in found.remarks]
    fluid, coolant = record.brake_fluid or BrakeFluid(), record.coolant or Coolant()
    return Panel(
        anchor="fluids",
        heading=voice.say("panel.fluids"),
        facts=(
            _fact("moisture", fluid.moisture, voice),
            _fact("grade", str(fluid.grade) if fluid.grade else None, voice, "table.not_recorded"),
            _fact("freezes", coolant.freezes_at, voice),
        ),
        remarks=_remarks(remarks, (fluid.note, coolant.note), voice),
        quiet_remarks=voice.tell_sentences(quiet(remarks)),
        how_known=_how(record, record.inspection.gauges.brake_fluid, voice) if record.brake_fluid else None,
        terms=voice.words.explained("brake-fluid", "coolant"),
    )


def _paint(condition: Condition, voice: Voice) -> Panel:
    found = condition.of(PaintFinding)
    return Panel(
        anchor="paint",
        heading=voice.say("panel.paint"),
        facts=tuple(Fact(voice.text(panel.panel), Told(_paint_range(panel, voice), None)) for panel in found),
        remarks=tuple(
            voice.tell("panel.paint_at", panel=panel.panel, remarks=joined(voice.tell_sentences(remarks)))
            for panel in found
            if (remarks := notable(panel.remarks))
        ),
        quiet_remarks=(),
        how_known=None,
        terms=voice.words.explained("paint-thickness"),
    )


def _remarks(remarks: Iterable[Said], notes: Iterable[Text | None], voice: Voice) -> tuple[Told, ...]:
    return (*voice.tell_sentences(notable(remarks)), *(voice.text(note) for note in notes if note))


def _paint_range(panel: PaintFinding, voice: Voice) -> str:
    if panel.lowest == panel.highest:
        return voice.figure(panel.lowest)
    return voice.say("measured.from_to", low=panel.lowest, high=panel.highest)


def _how(record: VehicleRecord, gauge: Gauge | None, voice: Voice) -> Told:
    if gauge is None:
        return voice.tell("measured.how_no_gauge", day=record.inspection.done_on)
    return voice.tell("measured.how", day=record.inspection.done_on, gauge=gauge.name)
