"""Build the choices of the bay page for what the outlook needs, for visits, and for answers to the gate. Pure."""

from __future__ import annotations

from typing import Any

from sitegen.pages.language.catalog import Catalog
from sitegen.records.figures import Figures, TreadUnit
from sitegen.records.standing.answers import Repair
from sitegen.records.vehicle import AXLES, Axle, Fuel, Status
from sitegen.records.visits.visit import DefectNow
from sitegen.records.wear import Gauges

Json = dict[str, Any]

_WITHOUT_TIMING = (Fuel.ELECTRIC, Fuel.HYDROGEN)
"""Fuels whose vehicles have no valves to drive."""
_STEPS_OF_GAUGES = {
    TreadUnit.THIRTY_SECONDS: ("1/32 in", "0.5 mm", "0.1 mm"),
    TreadUnit.MILLIMETRES: ("0.5 mm", "0.1 mm"),
}
_STEPS = {"pads": ("1 mm", "0.5 mm", "0.1 mm"), "rotors": ("0.1 mm", "0.01 mm")}
"""The smallest steps that such gauges show. Common practice."""
_SHALLOWEST_NEW = {TreadUnit.THIRTY_SECONDS: 8, TreadUnit.MILLIMETRES: 12}
"""The first step of the ruler of new treads: 8/32 in, or 6 mm in half millimeters. Common practice."""
_THINNEST_NEW = 4
"""The thinnest new lining on its ruler, in millimeters. Common practice: new shoes have 4 to 6 mm."""

USUAL_KINDS = ("scratch", "dent", "stone chips", "scuff", "surface rust", "curb rash")
"""The kinds of defect that are one tap; the others are in a list. Common practice: what most vehicles have."""


def more_choices(figures: Figures, words: Catalog, tread: list[str], lining: list[str]) -> Json:
    """Return the choices by their names in the scripts. `tread` and `lining` are the steps of the rulers."""
    unit, exemption = figures.region.units.tread, figures.region.odometer_exemption
    return {
        "axles": [
            {
                "key": axle.value,
                "words": words.say(f"bay.axle_{axle}"),
                "wheels": [wheel.value for wheel in AXLES[axle]],
            }
            for axle in Axle
        ],
        "usual_kinds": list(USUAL_KINDS),
        "exemption": None if exemption is None else exemption.model_dump(mode="json", exclude={"source", "known"}),
        "new_tread": [_mark(step) for step in tread[_SHALLOWEST_NEW[unit] :]],
        "new_lining": [_mark(step) for step in lining[_THINNEST_NEW:]],
        "no_timing": [fuel.value for fuel in _WITHOUT_TIMING],
        "services": [
            {
                "key": service,
                "words": words.say(f"item.{service}"),
                "rules": [
                    {name: value for name, value in each.suits.model_dump(mode="json").items() if value}
                    for each in intervals
                ],
            }
            for service, intervals in figures.intervals.services.items()
        ],
        "gauges": [
            {
                "key": gauge,
                "words": words.say(f"bay.gauge_{gauge}"),
                "steps": [
                    {"key": step, "words": step}
                    for step in (_STEPS_OF_GAUGES[unit] if gauge == "tread" else _STEPS.get(gauge, ()))
                ],
            }
            for gauge in Gauges.model_fields
        ],
        "repairs": [{"key": way.value, "words": words.say(f"bay.by_{way}")} for way in Repair],
        "now": [{"key": now.value, "words": words.say(f"bay.now_{now.replace(' ', '_')}")} for now in DefectNow],
        "status": [{"key": each.value, "words": words.say(f"status.{each.replace(' ', '_')}")} for each in Status],
    }


def _mark(step: str) -> Json:
    return {"value": step, "shown": step.split("/")[0].removesuffix(" mm")}
