"""The list of all judges, and the function that runs them on a record."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

from sitegen.condition.basis.findings import Condition, Gate, Judged
from sitegen.condition.basis.forecast import OutlookFacts, OutlookLine
from sitegen.condition.basis.odometer import counted_from, judge_use
from sitegen.condition.basis.sale_terms import judge_terms
from sitegen.condition.basis.values import Said
from sitegen.condition.batteries_fluids_body.batteries import judge_battery, judge_traction_battery
from sitegen.condition.batteries_fluids_body.body import judge_body
from sitegen.condition.batteries_fluids_body.fluids import judge_fluids
from sitegen.condition.brakes.brakes import judge_brakes
from sitegen.condition.gate import gate
from sitegen.condition.outlook.costs import cost_of
from sitegen.condition.outlook.distances import metres_in
from sitegen.condition.outlook.outlook import outlook
from sitegen.condition.outlook.spreads import spreads
from sitegen.condition.services.intervals import judge_services
from sitegen.condition.services.offers import offers
from sitegen.condition.since.changed import judge_since
from sitegen.condition.standing.spoken import spoken_facts
from sitegen.condition.standing.standing import standing_facts
from sitegen.condition.tires.alignment import judge_alignment
from sitegen.condition.tires.tires import judge_tires
from sitegen.records.figures import Figures
from sitegen.records.film import ClipFiles
from sitegen.records.money.prices import PriceList
from sitegen.records.quantities import Distance
from sitegen.records.vehicle_record import VehicleRecord

Judge = Callable[[VehicleRecord, Figures, date], Judged]

JUDGES: tuple[Judge, ...] = (
    judge_use,
    judge_terms,
    judge_tires,
    judge_brakes,
    judge_battery,
    judge_traction_battery,
    judge_fluids,
    judge_body,
    judge_services,
    judge_alignment,
    judge_since,
)


def judge(record: VehicleRecord, figures: Figures, prices: PriceList | None, miles_a_year: Distance) -> Condition:
    """Return the condition of one vehicle for somebody who drives `miles_a_year`.

    It is judged as of the day of its odometer reading. No other day counts, so the same record gives the same
    condition on any day. `miles_a_year` is a whole number of the region's unit, miles or kilometres. Raises
    ValueError if it is less than one.
    """
    as_of = counted_from(record)
    judged = [look(record, figures, as_of) for look in JUDGES]
    unit = figures.region.units.distance
    lines = tuple(_priced(line, prices, record) for part in judged for line in part.lines)
    standing = standing_facts(record, figures)
    facts = OutlookFacts(unit, tuple(line.facts for line in lines), spreads(figures.outlook))
    return Condition(
        as_of=as_of,
        findings=tuple(finding for part in judged for finding in part.findings),
        lines=lines,
        facts=facts,
        outlook=outlook(facts, math.floor(miles_a_year.metres / metres_in(unit))),
        standing=standing,
        gate=gate(record, standing),
        offers=offers(record, figures),
    )


def outlook_lines(record: VehicleRecord, figures: Figures) -> frozenset[str]:
    """Return the keys of the outlook's lines, without working out when and for how much."""
    as_of = counted_from(record)
    return frozenset(line.facts.key for look in JUDGES for line in look(record, figures, as_of).lines)


def judge_gate(record: VehicleRecord, figures: Figures, clips: Sequence[ClipFiles] = ()) -> Gate:
    """Return whether a vehicle's page may be published, without judging the rest.

    `clips` are the files of the film's clips, whose captions are searched too.
    """
    facts = standing_facts(record, figures)
    return gate(record, (*facts, *spoken_facts(record, clips, facts, figures)))


def _priced(line: OutlookLine, prices: PriceList | None, record: VehicleRecord) -> OutlookLine:
    cost = cost_of(line.services, line.count, prices, record)
    narrowed = () if cost.narrowed_by is None else (Said("outlook.price_for", {"name": cost.narrowed_by}),)
    facts = replace(line.facts, cost=cost.known, worst_cost=cost.worst)
    return replace(line, facts=facts, basis=(*line.basis, *narrowed))
