"""Compare the tires with each other: left and right, front and rear, and the set as a whole."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from sitegen.condition.basis.findings import SetFinding, TireFinding
from sitegen.condition.basis.remarks import share_of
from sitegen.condition.basis.values import Said, Tread, Value, Word
from sitegen.condition.tires.tire_sizes import worn_diameter
from sitegen.records.figures import Figures, TireFigures
from sitegen.records.quantities import Depth
from sitegen.records.vehicle import Axle, Body, Wheel
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wheels.tires import Tires

_MAY_BE_HEAVY = (Body.PICKUP, Body.CARGO_VAN)


def set_finding(record: VehicleRecord, all_figures: Figures, tires: tuple[TireFinding, ...]) -> SetFinding:
    """Return the findings from comparing the four tires."""
    figures = all_figures.tires
    on_now = {tire.wheel: tire for tire in tires if tire.renewed is None or tire.renewed.promised}
    return SetFinding(
        "tires",
        (
            *_not_measured(tires),
            *_axles(record.tires, figures, on_now),
            *_duals(record.tires, figures, on_now),
            *_front_to_rear(record.tires, figures, on_now),
            *_matched_set(record, figures, on_now),
            *_mixed(record.tires, on_now),
            *_placard(record.tires),
            *_assumed_weight(record, all_figures),
        ),
    )


def _not_measured(tires: tuple[TireFinding, ...]) -> Iterator[Said]:
    missing = sum(tire.lowest is None for tire in tires)
    if missing:
        yield Said("tires.not_measured", {"count": missing})


def _axles(fitted: Tires, figures: TireFigures, tires: dict[Wheel, TireFinding]) -> Iterator[Said]:
    """Yield a sentence for each axle: how far its left and right side are apart, by the lowest tire of each side.

    Yield none for an axle that was not measured on both sides.
    """
    for axle, wheels in fitted.axles.items():
        half = len(wheels) // 2
        left, right = _lowest_of(tires, wheels[:half]), _lowest_of(tires, wheels[half:])
        if left is not None and right is not None:
            difference = abs(left.millimetres - right.millimetres)
            told: dict[str, Value] = {"axle": Word(f"axle.{axle}"), "difference": _tread(difference)}
            if difference >= figures.uneven_from.value.millimetres:
                yield Said("tires.side_to_side", told)
            elif half == 1:
                yield Said("tires.near_on_axle" if difference else "tires.alike_on_axle", told)


def _duals(fitted: Tires, figures: TireFigures, tires: dict[Wheel, TireFinding]) -> Iterator[Said]:
    """Yield a sentence for each side of an axle whose two tires differ too much in depth.

    The deeper one is larger, and carries more.
    """
    for inner in (wheel for wheel in fitted.on_the_ground if wheel.is_inner):
        depths = [tires[wheel].lowest for wheel in (inner, inner.outer) if wheel in tires]
        known = [depth.millimetres for depth in depths if depth is not None]
        if len(known) == 2 and abs(known[0] - known[1]) >= figures.dual_difference.value.millimetres:
            apart = _tread(abs(known[0] - known[1]))
            yield Said("tires.duals_apart", {"wheel": Word(f"at_wheel.{inner.outer}"), "difference": apart})


def _placard(fitted: Tires) -> Iterator[Said]:
    """Yield sentences on what the door label asks for: the sizes and the pressures, by axle where they differ."""
    pairs = {
        "size": (fitted.placard_size, fitted.placard_size_rear),
        "pressure": (fitted.placard_pressure, fitted.placard_pressure_rear),
    }
    for name, (front, rear) in pairs.items():
        if front is not None and rear is not None and front != rear:
            yield Said(f"tires.placard_{name}_by_axle", {"front": front, "rear": rear})
        elif front is not None:
            yield Said(f"tires.placard_{name}", {name: front})


def _assumed_weight(record: VehicleRecord, figures: Figures) -> Iterator[Said]:
    """Yield the sentence that a truck without a recorded weight rating is judged under an assumption."""
    if not any(limit.up_to_pounds for limit in figures.region.tread_limits):
        return
    if record.vehicle.gross_weight_pounds is None and (record.vehicle.body in _MAY_BE_HEAVY or record.tires.is_dual):
        yield Said("tires.assumed_weight")


def _front_to_rear(fitted: Tires, figures: TireFigures, tires: dict[Wheel, TireFinding]) -> Iterator[Said]:
    lowest = {axle: _lowest_of(tires, wheels) for axle, wheels in fitted.axles.items()}
    front, rear = lowest[Axle.FRONT], lowest[Axle.REAR]
    if front is not None and rear is not None:
        difference = abs(front.millimetres - rear.millimetres)
        if difference >= figures.uneven_from.value.millimetres:
            lower = Axle.FRONT if front < rear else Axle.REAR
            yield Said("tires.front_to_rear", {"axle": Word(f"axle.{lower}"), "difference": _tread(difference)})


def _lowest_of(tires: dict[Wheel, TireFinding], wheels: tuple[Wheel, ...]) -> Depth | None:
    depths = [tires[wheel].lowest for wheel in wheels if wheel in tires]
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


def _mixed(fitted: Tires, tires: dict[Wheel, TireFinding]) -> Iterator[Said]:
    """Yield sentences on tires of different kinds, sizes or ages: first within an axle, then in the whole set.

    Sizes that the door label asks for by axle are left out.
    """
    sizes = {_name_of_size(tire) for tire in tires.values() if tire.size is not None}
    kinds = {tire.kind for tire in tires.values() if tire.kind is not None}
    on_axles = False
    for axle, wheels in fitted.axles.items():
        half = len(wheels) // 2
        on_axle = [(tires[wheel], place < half) for place, wheel in enumerate(wheels) if wheel in tires]
        told = list(_mixed_on_axle(axle, on_axle))
        on_axles = on_axles or any(said.key != "tires.mixed_sizes_on_axle" for said in told)
        yield from told
    if on_axles:
        kinds = set()
    if len(sizes) > 1 and fitted.placard_size_rear is None:
        yield Said("tires.mixed_sizes", {"sizes": ", ".join(sorted(sizes))})
    if len(kinds) > 1:
        yield Said("tires.mixed_kinds")
    made = [tire.made.week_begins for tire in tires.values() if tire.made is not None and tire.made.week_begins]
    if made and (max(made) - min(made)).days > 366:
        yield Said("tires.mixed_ages", {"oldest": str(min(made).year), "newest": str(max(made).year)})


def _mixed_on_axle(axle: Axle, tires: list[tuple[TireFinding, bool]]) -> Iterator[Said]:
    """Yield a sentence if the left and right tires of an axle differ in kind, and one if they differ in size."""
    sides = ([tire for tire, is_left in tires if is_left], [tire for tire, is_left in tires if not is_left])
    kinds = [sorted({tire.kind.value for tire in side if tire.kind is not None}) for side in sides]
    if len({*kinds[0], *kinds[1]}) > 1:
        if all(len(side) == 1 for side in kinds):
            left, right = (Word(f"tire_kind.{side[0].replace(' ', '_')}") for side in kinds)
            yield Said("tires.mixed_kinds_on_axle", {"axle": Word(f"axle.{axle}"), "left": left, "right": right})
        else:
            yield Said("tires.mixed_on_axle", {"axle": Word(f"axle.{axle}")})
    of_size = [{tire.size.diameter: _name_of_size(tire) for tire in side if tire.size is not None} for side in sides]
    if len({*of_size[0], *of_size[1]}) > 1:
        written = [", ".join(sorted(side.values())) for side in of_size]
        if all(written):
            words: dict[str, Value] = {"axle": Word(f"axle.{axle}"), "left": written[0], "right": written[1]}
            yield Said("tires.mixed_sizes_on_axle", words)


def _name_of_size(tire: TireFinding) -> str:
    return tire.size.written.split()[0] if tire.size is not None else ""


def _tread(millimetres: Fraction) -> Tread:
    return Tread(Depth.of_millimetres(millimetres))
