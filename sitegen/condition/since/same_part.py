"""Decide whether two inspections measured the same part. Only then is the difference its wear. Pure.

If that is not known, it counts as another part: a tire without a readable date code, rotated tires, linings that
grew.
"""

from __future__ import annotations

from sitegen.records.vehicle import Wheel
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wheels.tires import Tire


def is_another_tire(before: Tire, now: Tire) -> bool:
    """Return whether two tires are certainly different ones: another date code, size or kind."""
    pairs = (
        (_code(before), _code(now)),
        (_plain(before.size), _plain(now.size)),
        (before.kind, now.kind),
        (before.new_tread, now.new_tread),
    )
    return any(one is not None and other is not None and one != other for one, other in pairs)


def is_same_tire(before: VehicleRecord, now: VehicleRecord, wheel: Wheel) -> bool:
    """Return whether one tire was on this wheel at both inspections, by date code, records and work."""
    tires = before.tires.at(wheel), now.tires.at(wheel)
    if tires[0] is None or tires[1] is None or is_another_tire(tires[0], tires[1]):
        return False
    is_known = _code(tires[0]) is not None and _code(tires[1]) is not None
    return is_known and not _renewed(before, now, f"tires.{wheel}") and not _rotated(before, now)


def is_same_lining(before: VehicleRecord, now: VehicleRecord, wheel: Wheel) -> bool:
    """Return whether the linings at a wheel are those of the earlier inspection.

    They are of the same kind, not fitted since, and none is thicker than it was.
    """
    brakes = before.brakes.at(wheel), now.brakes.at(wheel)
    if brakes[0] is None or brakes[1] is None or brakes[0].kind != brakes[1].kind:
        return False
    look = before.look_at(f"brakes.{wheel}")
    then = look.at or before.odometer.reading
    fitted_at, fitted_on = brakes[1].fitted_at, brakes[1].fitted_on
    if fitted_at is not None and (then is None or fitted_at > then):
        return False
    if fitted_on is not None and fitted_on.latest > look.on:
        return False
    linings = brakes[0].linings(), brakes[1].linings()
    grew = any(linings[1][place] > linings[0][place] for place in linings[0].keys() & linings[1].keys())
    return not grew and not _renewed(before, now, f"brakes.{wheel}")


def _code(tire: Tire) -> str | None:
    return tire.date_code if tire.date_code is not None and tire.date_code.isdigit() else None


def _plain(size: str | None) -> str | None:
    """Return a size in upper case without what follows a space, the load index and speed symbol. None stays None."""
    return None if size is None else size.split()[0].upper()


def _renewed(before: VehicleRecord, now: VehicleRecord, part: str) -> bool:
    since = before.look_at(part).on
    renews = {name for work in now.work_done if work.on >= since for name in work.renews}
    return any(name == part or part.startswith(f"{name}.") for name in renews)


def _rotated(before: VehicleRecord, now: VehicleRecord) -> bool:
    since = before.look_at("tires").on
    return any(
        service.service == "tire_rotation" and (service.done_on is None or service.done_on.latest >= since)
        for service in now.services
        if service not in before.services
    )
