"""Yield the `StandingFact` about a 12 V battery whose test says to replace it."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.condition.basis.facts import Harm, StandingFact
from sitegen.condition.basis.values import Said
from sitegen.condition.batteries_fluids_body.batteries import cranking_share
from sitegen.condition.standing.figure_facts import Figured, FigureFact
from sitegen.records.figures import Figures
from sitegen.records.vehicle_record import VehicleRecord


def battery_facts(record: VehicleRecord, figures: Figures) -> Iterator[StandingFact]:
    """Yield a fact if the battery's cranking test is below the figure at which it is replaced."""
    share = cranking_share(record.battery) if record.battery is not None else None
    if share is not None and share < figures.batteries.cranking.replace_below.amount:
        rule, said = figures.standing.figures.battery_weak, Said("gate.battery_weak")
        found = FigureFact(rule, ("battery", "tested"), said, harm=Harm.CAN_STRAND)
        yield from Figured(record, figures).facts(found, "battery")
