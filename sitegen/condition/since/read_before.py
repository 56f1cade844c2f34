"""Find the latest earlier reading of a part that is comparable with the current one. Pure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from sitegen.condition.basis.odometer import may_project
from sitegen.condition.since.changed import driven_between
from sitegen.condition.since.wear_between import Between
from sitegen.records.quantities import Depth
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class ReadNow:
    """The current reading and its error, in millimetres, and the least distance in metres for a comparison."""

    depth: Fraction
    error: Fraction
    least_driven: Fraction


def between_readings(
    record: VehicleRecord,
    reading: tuple[str, ...],
    now: ReadNow,
    read: Callable[[VehicleRecord], Depth | None],
    error: Callable[[VehicleRecord, Depth], Fraction],
    is_same_part: Callable[[VehicleRecord], bool],
) -> Between | None:
    """Return the current and the latest earlier reading of a part, with the distance driven between.

    None if no earlier look has a comparable reading: of the same part, at a reliable odometer reading. `reading`
    names its paths, such as `tires.left_front.tread.inner`. For an earlier state, `read` returns the depth at the
    same place, `error` its error in millimetres, and `is_same_part` whether the part is the same.
    """
    now_at = record.look_at(*reading)
    for before in record.earlier:
        then = before.look_at(*reading)
        was, driven = read(before), driven_between((before, then), (record, now_at))
        is_same_reading = then.visit == now_at.visit
        if was is None or driven is None or is_same_reading or not may_project(before) or not is_same_part(before):
            continue
        return Between(
            on=then.on,
            was=was,
            then=was.millimetres,
            then_error=error(before, was),
            now=now.depth,
            now_error=now.error,
            driven=driven.metres,
            least=now.least_driven,
        )
    return None
