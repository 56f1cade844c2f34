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
    now: ReadNow,
    read: Callable[[VehicleRecord], Depth | None],
    error: Callable[[VehicleRecord, Depth], Fraction],
    is_same_part: Callable[[VehicleRecord], bool],
) -> Between | None:
    """Return the current and the latest earlier reading of a part. None if no earlier inspection has one.

    For an earlier inspection, `read` returns the depth at the same place, `error` its error in millimetres, and
    `is_same_part` whether the part is the same.
    """
    for before in record.earlier:
        was, driven = read(before), driven_between(before, record)
        if was is None or driven is None or not may_project(before) or not is_same_part(before):
            continue
        return Between(
            on=before.inspection.done_on,
            was=was,
            then=was.millimetres,
            then_error=error(before, was),
            now=now.depth,
            now_error=now.error,
            driven=driven.metres,
            least=now.least_driven,
        )
    return None
