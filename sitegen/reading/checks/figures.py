"""Checks of measurements: impossible figures, figures outside the plausible range, and parts thicker now than new."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar

from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.problems import Problem, Severity
from sitegen.records.quantities import Depth, Quantity
from sitegen.records.reference import PlausibleRange
from sitegen.records.wear import DiscBrake, DrumBrake
from sitegen.records.wheels.tires import Tire

Measured = TypeVar("Measured", bound=Quantity)


def check_new_and_worn(sheet: Sheet) -> Iterator[Problem]:
    """Yield an error for each depth when new that is less than the depth measured now.

    A current depth that is itself impossible is skipped here, because `check_plausible` reports it.
    """
    tread, lining = sheet.standards.plausible.tread, sheet.standards.plausible.lining
    for path, tire in _tires(sheet):
        if tire.tread is not None:
            yield from _check_new(sheet, (*path, "new_tread"), tire.new_tread, tire.tread.measured(), tread)
    for path, brake in _brakes(sheet):
        if isinstance(brake, DiscBrake) and brake.pads is not None:
            yield from _check_new(sheet, (*path, "new_pads"), brake.new_pads, brake.pads.measured(), lining)
        elif isinstance(brake, DrumBrake) and brake.shoes is not None:
            yield from _check_new(sheet, (*path, "new_shoes"), brake.new_shoes, brake.shoes.measured(), lining)


def check_plausible(sheet: Sheet) -> Iterator[Problem]:
    """Yield an error for each impossible reading, and a warning for each reading outside the plausible range."""
    plausible = sheet.standards.plausible
    for path, tire in _tires(sheet):
        for place in ("outer", "center", "inner") if tire.tread is not None else ():
            yield from _check_range(sheet, (*path, "tread", place), getattr(tire.tread, place), plausible.tread)
        yield from _check_range(sheet, (*path, "new_tread"), tire.new_tread, plausible.tread)
        yield from _check_range(sheet, (*path, "pressure"), tire.pressure, plausible.pressure)
    for path, brake in _brakes(sheet):
        kind, linings = ("pads", brake.pads) if isinstance(brake, DiscBrake) else ("shoes", brake.shoes)
        for place in type(linings).model_fields if linings is not None else ():
            yield from _check_range(sheet, (*path, kind, place), getattr(linings, place), plausible.lining)
        new = f"new_{kind}"
        yield from _check_range(sheet, (*path, new), getattr(brake, new), plausible.lining)
        if isinstance(brake, DiscBrake):
            yield from _check_range(sheet, (*path, "rotor"), brake.rotor, plausible.rotor)
    battery = sheet.record.battery
    if battery is not None:
        yield from _check_range(sheet, ("battery", "rest_voltage"), battery.rest_voltage, plausible.rest_voltage)
    for number, panel in enumerate(sheet.record.paint):
        for spot, reading in enumerate(panel.readings):
            yield from _check_range(sheet, ("paint", number, "readings", spot), reading, plausible.paint)


def _tires(sheet: Sheet) -> Iterator[tuple[KeyPath, Tire]]:
    for wheel in type(sheet.record.tires).model_fields:
        tire = getattr(sheet.record.tires, wheel)
        if isinstance(tire, Tire):
            yield ("tires", wheel), tire


def _brakes(sheet: Sheet) -> Iterator[tuple[KeyPath, DiscBrake | DrumBrake]]:
    for wheel in type(sheet.record.brakes).model_fields:
        brake = getattr(sheet.record.brakes, wheel)
        if brake is not None:
            yield ("brakes", wheel), brake


def _check_new(
    sheet: Sheet, path: KeyPath, new: Depth | None, measured: tuple[Depth, ...], plausible: PlausibleRange[Depth]
) -> Iterator[Problem]:
    most = max(measured, default=None)
    if new is not None and most is not None and new < most and not _is_impossible(most, plausible):
        expected = f"at least {most.written}, which is left now"
        yield sheet.marks.problem(path, expected, "check both figures and their units")


def _check_range(
    sheet: Sheet, path: KeyPath, reading: Measured | None, plausible: PlausibleRange[Measured]
) -> Iterator[Problem]:
    if reading is None or plausible.low.amount <= reading.amount <= plausible.high.amount:
        return
    expected = f"from {plausible.low.written} to {plausible.high.written} ({plausible.known})"
    if plausible.never_above is not None and _is_impossible(reading, plausible):
        expected += f", and never above {plausible.never_above.written}"
        yield sheet.marks.problem(path, expected, "write the figure with the unit that it was measured in")
    else:
        mend = "check the figure and its unit, and leave it if it is right"
        yield sheet.marks.problem(path, expected, mend, severity=Severity.WARNING)


def _is_impossible(reading: Measured, plausible: PlausibleRange[Measured]) -> bool:
    return plausible.never_above is not None and reading.amount > plausible.never_above.amount
