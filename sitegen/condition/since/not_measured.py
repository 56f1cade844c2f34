"""Find figures that an earlier inspection measured and this one did not: leaving them out improves nothing. Pure.

A figure comes from the latest inspection that measured it. Work that renewed the part, or an entry in `history`,
answers it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import partial

from sitegen.condition.basis.renewals import was_renewed
from sitegen.condition.basis.values import Said, Tread, Value, Word
from sitegen.records.quantities import Depth, Quantity
from sitegen.records.vehicle import ON_THE_GROUND, REAR_OF_SIX, Wheel
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import DiscBrake

Read = Callable[[VehicleRecord], Quantity | None]


@dataclass(frozen=True)
class Unmeasured:
    """A figure of an earlier inspection that this one does not have."""

    on: date
    was: Quantity
    before: VehicleRecord
    part: str
    """The part, by its name in `renews`: tires.left_front, battery."""
    kind: str
    """The kind of figure: tread, lining, metal, or the key in the record."""


def not_measured_again(record: VehicleRecord) -> Iterator[Unmeasured]:
    """Yield each figure that was not measured again and is not answered, part by part."""
    for part, kind, read in _PARTS:
        if read(record) is not None:
            continue
        for before in record.earlier:
            was, on = read(before), before.inspection.done_on
            if was is not None:
                if not _is_answered(record, part, on):
                    yield Unmeasured(on, was, before, part, kind)
                break


def told(found: Unmeasured) -> Said | None:
    """Return the sentence about a figure. None for metal, since the sentence about the lining covers it."""
    if found.kind == "metal":
        return None
    words: dict[str, Value] = {"on": found.on, "was": found.was}
    if found.kind in ("tread", "lining"):
        words["wheel"] = Word(f"at_wheel.{found.part.partition('.')[2]}")
    if isinstance(found.was, Depth) and found.kind == "tread":
        words["was"] = Tread(found.was)
    return Said(f"since.{found.kind}_not_again", words)


def _is_answered(record: VehicleRecord, part: str, since: date) -> bool:
    about = (name for event in record.history if event.on >= since for name in event.about)
    is_told = any(name == part or name.startswith(f"{part}.") for name in about)
    return is_told or any(was_renewed(one, since, part) for one in (record, *record.earlier))


def _tread(wheel: Wheel, record: VehicleRecord) -> Depth | None:
    tire = record.tires.at(wheel)
    return tire.tread.lowest() if tire is not None and tire.tread is not None else None


def _lining(wheel: Wheel, record: VehicleRecord) -> Depth | None:
    brake = record.brakes.at(wheel)
    return min(brake.linings().values(), default=None) if brake is not None else None


def _metal(wheel: Wheel, record: VehicleRecord) -> Depth | None:
    brake = record.brakes.at(wheel)
    return None if brake is None else brake.rotor if isinstance(brake, DiscBrake) else brake.drum


def _of(group: str, key: str, record: VehicleRecord) -> Quantity | None:
    found: Quantity | None = getattr(getattr(record, group), key, None)
    return found


_PARTS: tuple[tuple[str, str, Read], ...] = (
    *((f"tires.{wheel}", "tread", partial(_tread, wheel)) for wheel in (*ON_THE_GROUND, *REAR_OF_SIX[1:3])),
    *((f"brakes.{wheel}", "lining", partial(_lining, wheel)) for wheel in ON_THE_GROUND),
    *((f"brakes.{wheel}", "metal", partial(_metal, wheel)) for wheel in ON_THE_GROUND),
    ("battery", "battery", partial(_of, "battery", "tested")),
    ("services.brake_fluid", "moisture", partial(_of, "brake_fluid", "moisture")),
    ("services.coolant", "coolant", partial(_of, "coolant", "freezes_at")),
    ("traction_battery", "traction_battery", partial(_of, "traction_battery", "state_of_health")),
)
