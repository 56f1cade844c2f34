"""The latest earlier reading of a part that can be held against the one of now. Pure."""

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
    """The reading of now, in millimetres, and the metres without which its difference to another says too little."""

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
    """Return it beside the reading of now; None where no earlier inspection has one.

    Of an earlier inspection, `read` gives the depth at the place that counts now, `error` by how many millimetres
    that may be off, and `is_same_part` whether it is the same part.
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
