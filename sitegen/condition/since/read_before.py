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
    """Return it beside the reading of now; None where no earlier look has one.

    `reading` names its paths, such as `tires.left_front.tread.inner`. Of an earlier state, `read` gives the depth at
    the place that counts now, `error` by how many millimetres that may be off, and `is_same_part` whether it is the
    same part.
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
