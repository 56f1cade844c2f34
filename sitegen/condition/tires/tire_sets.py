"""Compare the tires with each other: left and right, front and rear, and the set as a whole."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from sitegen.condition.basis.findings import SetFinding, TireFinding
from sitegen.condition.basis.remarks import share_of
from sitegen.condition.basis.values import Said, Tread, Value, Word
from sitegen.condition.tires.tire_sizes import worn_diameter
from sitegen.records.figures import TireFigures
from sitegen.records.quantities import Depth
from sitegen.records.vehicle import AXLES, Axle, Wheel
from sitegen.records.vehicle_record import VehicleRecord


def set_finding(record: VehicleRecord, figures: TireFigures, tires: tuple[TireFinding, ...]) -> SetFinding:
    """Return the findings from comparing the four tires."""
    on_now = {tire.wheel: tire for tire in tires if tire.renewed is None or tire.renewed.promised}
    return SetFinding(
        "tires",
        (
            *_not_measured(tires),
            *_axles(figures, on_now),
            *_front_to_rear(figures, on_now),
            *_matched_set(record, figures, on_now),
            *_mixed(on_now),
        ),
    )


def _not_measured(tires: tuple[TireFinding, ...]) -> Iterator[Said]:
    missing = sum(tire.lowest is None for tire in tires)
    if missing:
        yield Said("tires.not_measured", {"count": missing})


def _axles(figures: TireFigures, tires: dict[Wheel, TireFinding]) -> Iterator[Said]:
    for axle, pair in AXLES.items():
        left, right = (tires[wheel].lowest if wheel in tires else None for wheel in pair)
        if left is not None and right is not None:
            difference = abs(left.millimetres - right.millimetres)
            told: dict[str, Value] = {"axle": Word(f"axle.{axle}"), "difference": _tread(difference)}
            if difference >= figures.uneven_from.value.millimetres:
                yield Said("tires.side_to_side", told)
            elif difference:
                yield Said("tires.near_on_axle", told)
            else:
                yield Said("tires.alike_on_axle", told)


def _front_to_rear(figures: TireFigures, tires: dict[Wheel, TireFinding]) -> Iterator[Said]:
    lowest = {axle: _lowest_of(tires, pair) for axle, pair in AXLES.items()}
    front, rear = lowest[Axle.FRONT], lowest[Axle.REAR]
    if front is not None and rear is not None:
        difference = abs(front.millimetres - rear.millimetres)
        if difference >= figures.uneven_from.value.millimetres:
            lower = Axle.FRONT if front < rear else Axle.REAR
            yield Said("tires.front_to_rear", {"axle": Word(f"axle.{lower}"), "difference": _tread(difference)})


def _lowest_of(tires: dict[Wheel, TireFinding], pair: tuple[Wheel, Wheel]) -> Depth | None:
    depths = [tires[wheel].lowest for wheel in pair if wheel in tires]
    return min((depth for depth in depths if depth is not None), default=None)


def _matched_set(record: VehicleRecord, figures: TireFigures, tires: dict[Wheel, TireFinding]) -> Iterator[Said]:
    """Yield the differences in depth and rolling circumference of an all-wheel-drive set.

    P225/65R17, new 10/32 in, at 7 and 4: diameters 719.5375 and 714.775 mm, 0.66 % apart. With all-wheel drive the
    difference strains the drivetrain; the owner's manual decides the limit (common practice).
    """
    measured = [tire for tire in tires.values() if tire.lowest is not None]
    if record.vehicle.drive not in figures.matched_set or len(measured) < 2:
        return
    depths = [tire.lowest.millimetres for tire in measured if tire.lowest is not None]
    spread = max(depths) - min(depths)
    if spread <= figures.set_spread.value.millimetres:
        return
    words: dict[str, Value] = {"spread": _tread(spread), "allowed": Tread(figures.set_spread.value)}
    diameters = [
        worn_diameter(tire.size.diameter, tire.new.high.millimetres, tire.lowest.millimetres)
        for tire in measured
        if tire.size is not None and tire.lowest is not None
    ]
    if len(diameters) < len(measured):
        yield Said("tires.matched_set", words)
    else:
        apart = (max(diameters) - min(diameters)) / max(diameters)
        yield Said("tires.matched_set_with_size", {**words, "apart": share_of(apart)})


def _mixed(tires: dict[Wheel, TireFinding]) -> Iterator[Said]:
    sizes = {tire.size.written.split()[0] for tire in tires.values() if tire.size is not None}
    kinds = {tire.kind for tire in tires.values() if tire.kind is not None}
    for axle, pair in AXLES.items():
        both = [tires[wheel] for wheel in pair if wheel in tires]
        if any(_differ(one, other) for one, other in pairwise(both)):
            yield Said("tires.mixed_on_axle", {"axle": Word(f"axle.{axle}")})
    if len(sizes) > 1:
        yield Said("tires.mixed_sizes", {"sizes": ", ".join(sorted(sizes))})
    if len(kinds) > 1:
        yield Said("tires.mixed_kinds")
    made = [tire.made.week_begins for tire in tires.values() if tire.made is not None and tire.made.week_begins]
    if made and (max(made) - min(made)).days > 366:
        yield Said("tires.mixed_ages", {"oldest": str(min(made).year), "newest": str(max(made).year)})


def _differ(one: TireFinding, other: TireFinding) -> bool:
    sizes = one.size is not None and other.size is not None and one.size.diameter != other.size.diameter
    kinds = one.kind is not None and other.kind is not None and one.kind is not other.kind
    return sizes or kinds


def _tread(millimetres: Fraction) -> Tread:
    return Tread(Depth.of_millimetres(millimetres))
