"""Judge lining, rotor and drum measurements of each wheel's brake, and compare the brakes of an axle.

Two figures are separate: the region's inspection figure, below which the page is held back, and the thickness at
which shops commonly replace, from which "usable" is counted and the outlook runs.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction

from sitegen.condition.basis.checks import found_at
from sitegen.condition.basis.findings import BrakeFinding, Judged, SetFinding
from sitegen.condition.basis.limits import as_limit, limit_for
from sitegen.condition.basis.renewals import is_still_on, renewal_of
from sitegen.condition.basis.values import DepthSpan, KnownBy, Limit, Said, Span, Word
from sitegen.condition.brakes.brake_outlook import brake_lines
from sitegen.condition.brakes.brake_remarks import brake_remarks
from sitegen.condition.outlook.projection import usable_share
from sitegen.records.figures import Attachment, BrakeFigures, Figures
from sitegen.records.quantities import Depth
from sitegen.records.sourced import DepthRange
from sitegen.records.vehicle import AXLES, Axle, Wheel
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import DiscBrake, DrumBrake


def judge_brakes(record: VehicleRecord, figures: Figures, _as_of: date) -> Judged:
    """Return the findings about each brake and axle, and their outlook lines."""
    found = {axle: [find_brake(record, figures, wheel, axle) for wheel in pair] for axle, pair in AXLES.items()}
    everything = tuple(finding for pair in found.values() for finding in pair)
    together = SetFinding("brakes", (*_axles(found, figures.brakes), _parking_brake(record, figures)))
    return Judged(
        findings=(*everything, together),
        lines=tuple(brake_lines(record, figures, found)),
    )


def find_brake(record: VehicleRecord, figures: Figures, wheel: Wheel, axle: Axle) -> BrakeFinding:
    """Return the finding about the brake of one wheel. A brake that was not measured has a finding too."""
    brake = record.brakes.at(wheel)
    drum = isinstance(brake, DrumBrake)
    practice = figures.brakes.replace_shoes_at if drum else figures.brakes.replace_pads_at
    limit = _limit(record, figures, brake, axle)
    linings = brake.linings() if brake else {}
    place = _thinnest_place(linings)
    thinnest = linings[place] if place is not None else None
    new = new_lining(brake, figures.brakes, axle)
    renewal = renewal_of(record, _name(wheel))
    still_on = is_still_on(renewal)
    metal, discard = _metal(brake)
    margin = _margin(metal, discard, drum)
    finding = BrakeFinding(
        wheel=wheel,
        kind=brake.kind if brake is not None else "not known",
        linings=linings,
        thinnest=thinnest,
        thinnest_place=place,
        limit=limit,
        replace_at=as_limit(practice),
        new=new,
        usable=_usable(thinnest, new, practice.value) if still_on else None,
        metal=metal,
        discard=discard if isinstance(discard, Depth) else None,
        discard_marked=None if discard is None else isinstance(discard, Depth),
        metal_margin=None if margin is None else Depth.of_millimetres(max(margin, Fraction(0))),
        metal_beyond_discard=still_on and margin is not None and margin < 0,
        difference=_difference(linings),
        below_limit=still_on and thinnest is not None and limit is not None and thinnest < limit.value,
        renewed=renewal,
    )
    return replace(finding, remarks=tuple(brake_remarks(finding, figures.brakes)))


def attachment_of(brake: DiscBrake | DrumBrake | None) -> Attachment | None:
    """Return how the lining of a drum brake is attached. None for a disc brake, or if it is not recorded."""
    if not isinstance(brake, DrumBrake) or brake.bonded is None:
        return None
    return Attachment.BONDED if brake.bonded else Attachment.RIVETED


def new_lining(brake: DiscBrake | DrumBrake | None, figures: BrakeFigures, axle: Axle) -> DepthSpan:
    """Return the thickness when new: as recorded, or typical of the axle."""
    recorded = brake.new_shoes if isinstance(brake, DrumBrake) else brake.new_pads if brake is not None else None
    if recorded is not None:
        return DepthSpan(recorded, recorded, KnownBy.FROM_RECORDS)
    usual = figures.front if axle is Axle.FRONT else figures.rear
    typical: DepthRange = usual.new_shoes if isinstance(brake, DrumBrake) else usual.new_pads
    return DepthSpan(typical.low, typical.high, KnownBy.TYPICAL)


def _name(wheel: Wheel) -> str:
    return f"brakes.{wheel.value}"


def _limit(record: VehicleRecord, figures: Figures, brake: DiscBrake | DrumBrake | None, axle: Axle) -> Limit | None:
    weight = record.vehicle.gross_weight_pounds
    return limit_for(figures.region.lining_limits, weight, axle, attachment_of(brake))


def _thinnest_place(linings: Mapping[str, Depth]) -> str | None:
    return min(linings, key=lambda name: linings[name], default=None)


def _metal(brake: DiscBrake | DrumBrake | None) -> tuple[Depth | None, Depth | str | None]:
    if isinstance(brake, DiscBrake):
        return brake.rotor, brake.rotor_discard
    if isinstance(brake, DrumBrake):
        return brake.drum, brake.drum_discard
    return None, None


def _margin(metal: Depth | None, discard: Depth | str | None, drum: bool) -> Fraction | None:
    """Return the millimetres left to the discard figure; None if either is not recorded.

    A rotor wears thinner, a drum wider.

    A rotor of 22.4 mm marked 22.0 has 0.4 mm left; at 21.9 it is beyond (49 CFR 570.59(b)).
    """
    if metal is None or not isinstance(discard, Depth):
        return None
    left = metal.millimetres - discard.millimetres
    return -left if drum else left


def _usable(thinnest: Depth | None, new: DepthSpan, end: Depth) -> Span | None:
    if thinnest is None or new.low <= end:
        return None
    now, limit = thinnest.millimetres, end.millimetres
    return Span(usable_share(now, new.high.millimetres, limit), usable_share(now, new.low.millimetres, limit))


def _difference(linings: Mapping[str, Depth]) -> Depth | None:
    if len(linings) < 2:
        return None
    return Depth.of_millimetres(max(linings.values()).millimetres - min(linings.values()).millimetres)


def _axles(found: Mapping[Axle, list[BrakeFinding]], figures: BrakeFigures) -> Iterator[Said]:
    """Yield a comparison of the thinnest left and right lining of each axle."""
    for axle, (left, right) in found.items():
        renewed = any(side.renewed is not None and not side.renewed.promised for side in (left, right))
        if left.thinnest is None or right.thinnest is None or renewed:
            continue
        difference = abs(left.thinnest.millimetres - right.thinnest.millimetres)
        if difference >= figures.uneven_from.value.millimetres:
            yield Said(
                "brakes.side_to_side",
                {"axle": Word(f"axle.{axle.value}"), "difference": Depth.of_millimetres(difference)},
            )


def _parking_brake(record: VehicleRecord, figures: Figures) -> Said:
    found = found_at(record, "parking_brake", figures.vocabulary)
    return Said(f"brakes.parking_brake.{found.value.replace(' ', '_')}")
