"""Yield each `StandingFact` about brakes and brake fluid: figures at or past a limit, missing measurements."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.condition.basis.facts import StandingFact
from sitegen.condition.basis.limits import limit_for
from sitegen.condition.basis.values import Said, Value, Word
from sitegen.condition.brakes.brake_remarks import thickness
from sitegen.condition.brakes.brakes import attachment_of
from sitegen.condition.standing.figure_facts import Figured, FigureFact, is_replaced
from sitegen.records.figures import Figures
from sitegen.records.quantities import Depth
from sitegen.records.standing.rules import FigureRules
from sitegen.records.vehicle import AXLES, Axle, Wheel
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import DiscBrake, DrumBrake

Brake = DiscBrake | DrumBrake


def brake_facts(record: VehicleRecord, figures: Figures) -> Iterator[StandingFact]:
    """Yield a fact for each brake figure at or past a limit, and for each lining that was not measured."""
    figured, rules = Figured(record, figures), figures.standing.figures
    for axle, pair in AXLES.items():
        standing = {}
        for wheel in pair:
            part, brake = f"brakes.{wheel.value}", record.brakes.at(wheel)
            if is_replaced(record, part, figures):
                continue
            at: dict[str, Value] = {"wheel": Word(f"at_wheel.{wheel.value}")}
            if brake is None or not brake.linings():
                said = Said("standing.lining_unmeasured", at)
                yield figured.unmeasured(("brakes", wheel.value), said, wheel)
            if brake is None:
                continue
            if brake.linings() and (brake.drum if isinstance(brake, DrumBrake) else brake.rotor) is None:
                metal = "drum" if isinstance(brake, DrumBrake) else "rotor"
                said = Said("standing.metal_unmeasured", at)
                yield figured.unmeasured(("brakes", wheel.value, metal), said, wheel)
            standing[wheel] = brake
            for found in (
                *_lining(record, figures, axle, wheel, brake, at),
                *_metal(rules, wheel, brake, at),
                *_thin_rotor(rules, axle, wheel, brake, at),
            ):
                yield from figured.facts(found, part)
        for found in _apart(rules, axle, standing):
            yield from figured.facts(found, "brakes")


def fluid_facts(record: VehicleRecord, figures: Figures) -> Iterator[StandingFact]:
    """Yield a fact if the brake fluid's test makes it due, or if it was not tested."""
    figured, rules, fluid = Figured(record, figures), figures.standing.figures, record.brake_fluid
    names = ("services.brake_fluid", "brake_fluid")
    if any(is_replaced(record, name, figures) for name in names):
        return
    if fluid is None or (fluid.moisture is None and fluid.boils_at is None):
        yield figured.unmeasured(("brake_fluid",), Said("standing.fluid_untested"))
        return
    figure = figures.fluids.moisture.replace_from
    if fluid.moisture is not None and fluid.moisture >= figure:
        said = Said("gate.fluid_moisture", {"moisture": fluid.moisture, "figure": figure})
        yield from figured.facts(FigureFact(rules.fluid_moisture, ("brake_fluid", "moisture"), said), names[0])
    grades = figures.fluids.brake_fluid
    wet = grades[fluid.grade].wet if fluid.grade in grades else min(known.wet for known in grades.values())
    if fluid.boils_at is not None and fluid.boils_at <= wet:
        said = Said("gate.fluid_boils", {"boils_at": fluid.boils_at, "figure": wet})
        yield from figured.facts(FigureFact(rules.fluid_boiling, ("brake_fluid", "boils_at"), said), names[0])


def _lining(
    record: VehicleRecord, figures: Figures, axle: Axle, wheel: Wheel, brake: Brake, at: dict[str, Value]
) -> Iterator[FigureFact]:
    rules, linings = figures.standing.figures, brake.linings()
    if not linings:
        return
    place = min(linings, key=lambda name: linings[name])
    path = ("brakes", wheel.value, "shoes" if isinstance(brake, DrumBrake) else "pads", place)
    weight = record.vehicle.gross_weight_pounds
    limit = limit_for(figures.region.lining_limits, weight, axle, attachment_of(brake))
    if limit is not None:
        words = {**at, **thickness(linings[place], limit)}
        if linings[place] < limit.value:
            yield FigureFact(rules.lining_below_limit, path, Said("gate.lining_below", words), wheel)
            return
        if linings[place] == limit.value:
            yield FigureFact(rules.lining_at_limit, path, Said("gate.lining_at", words), wheel)
    apart = max(linings.values()).millimetres - linings[place].millimetres
    if len(linings) > 1 and apart >= rules.lining_difference.value.millimetres:
        words = {**at, "difference": Depth.of_millimetres(apart)}
        yield FigureFact(rules.lining_difference, path, Said("gate.lining_difference", words), wheel)


def _metal(rules: FigureRules, wheel: Wheel, brake: Brake, at: dict[str, Value]) -> Iterator[FigureFact]:
    is_drum = isinstance(brake, DrumBrake)
    metal, discard = (
        (brake.drum, brake.drum_discard) if isinstance(brake, DrumBrake) else (brake.rotor, brake.rotor_discard)
    )
    if metal is None or not isinstance(discard, Depth):
        return
    if metal == discard:
        part = "drum" if is_drum else "rotor"
        said = Said(f"gate.{part}_at", {**at, "discard": discard})
        yield FigureFact(rules.metal_at_discard, ("brakes", wheel.value, part), said, wheel)
    elif (metal > discard) if is_drum else (metal < discard):
        part = "drum" if is_drum else "rotor"
        words: dict[str, Value] = {**at, "metal": metal, "discard": discard}
        said = Said(f"gate.{part}_beyond", words)
        yield FigureFact(rules.metal_beyond_discard, ("brakes", wheel.value, part), said, wheel)


def _thin_rotor(
    rules: FigureRules, axle: Axle, wheel: Wheel, brake: Brake, at: dict[str, Value]
) -> Iterator[FigureFact]:
    """Yield a question about a rotor that is far thinner than usual and has no marked discard figure.

    A question is a fact that holds the page back until the record answers it.
    """
    if not isinstance(brake, DiscBrake) or brake.rotor is None or isinstance(brake.rotor_discard, Depth):
        return
    rule = rules.rotor_thin_front if axle is Axle.FRONT else rules.rotor_thin_rear
    if brake.rotor < rule.value:
        words: dict[str, Value] = {**at, "metal": brake.rotor, "usual": rule.value}
        yield FigureFact(rule, ("brakes", wheel.value, "rotor"), Said("gate.rotor_thin", words), wheel)


def _apart(rules: FigureRules, axle: Axle, brakes: dict[Wheel, Brake]) -> Iterator[FigureFact]:
    """Yield a question about rotor safety if the rotors of an axle differ.

    Only if the thinner has no marked discard figure. A question is a fact that holds the page back until the record
    answers it.
    """
    rotors = {
        wheel: brake.rotor
        for wheel, brake in brakes.items()
        if isinstance(brake, DiscBrake) and brake.rotor is not None and not isinstance(brake.rotor_discard, Depth)
    }
    if len(rotors) < 2:
        return
    thinner = min(rotors, key=lambda wheel: rotors[wheel])
    apart = max(rotors.values()).millimetres - rotors[thinner].millimetres
    if apart >= rules.rotor_difference.value.millimetres:
        said = Said(
            "gate.rotors_apart", {"axle": Word(f"axle.{axle.value}"), "difference": Depth.of_millimetres(apart)}
        )
        yield FigureFact(rules.rotor_difference, ("brakes", thinner.value, "rotor"), said, thinner)
