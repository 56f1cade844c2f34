"""What was renewed after it was measured, or will be before delivery."""

from __future__ import annotations

from datetime import date

from sitegen.condition.basis.values import Renewal
from sitegen.records.quantities import Distance
from sitegen.records.vehicle_record import VehicleRecord


def renewal_of(record: VehicleRecord, *names: str) -> Renewal | None:
    """Return what renewed a part since the inspection measured it; what is promised counts before what was done.

    `names` are what `renews` may call the part: ("tires.left_front",). A shorter name renews all that is under it.
    Work done before the inspection is no renewal: the inspection measured the new part.
    """
    for promise in record.before_delivery:
        if _renews(promise.renews, names):
            return Renewal(promise.what, None, odometer_now(record))
    since = [
        work for work in record.work_done if _renews(work.renews, names) and work.on >= record.inspection.done_on
    ]
    if not since:
        return None
    last = max(since, key=lambda work: work.on)
    return Renewal(last.what, last.on, last.at or odometer_now(record))


def wear_ended_by(record: VehicleRecord, part: str, *causes: str) -> Renewal | None:
    """Return the work that ended what wore a part faster than its mates, whenever it was done; None if there is none.

    Work names the part under `ends_wear_of`, or renews one of the `causes`.
    """
    for promise in record.before_delivery:
        if part in promise.ends_wear_of or _renews(promise.renews, causes):
            return Renewal(promise.what, None, odometer_now(record))
    ended = [work for work in record.work_done if part in work.ends_wear_of or _renews(work.renews, causes)]
    if not ended:
        return None
    last = max(ended, key=lambda work: work.on)
    return Renewal(last.what, last.on, last.at or odometer_now(record))


def is_still_on(renewal: Renewal | None) -> bool:
    """Tell whether a part that was measured is still on the vehicle: what is promised is not done yet."""
    return renewal is None or renewal.promised


def fitted_by_work(record: VehicleRecord, *names: str) -> Distance | None:
    """Return the odometer reading at which the shop fitted the part that the inspection then measured, if it did."""
    before = [
        work for work in record.work_done if _renews(work.renews, names) and work.on < record.inspection.done_on
    ]
    return max(before, key=lambda work: work.on).at if before else None


def was_renewed(record: VehicleRecord, since: date, *names: str) -> bool:
    """Tell whether work of a record on or after a day renewed a part."""
    return any(work.on >= since and _renews(work.renews, names) for work in record.work_done)


def odometer_now(record: VehicleRecord) -> Distance | None:
    """Return the latest reading that the record has."""
    return max((reading for reading in (record.odometer.reading, record.inspection.at) if reading), default=None)


_BY_ITS_OWN_NAME = "tires.spare"
"""New `tires` are those on the road; the spare stays what was measured."""


def _renews(renewed: tuple[str, ...], names: tuple[str, ...]) -> bool:
    under = [name for name in names if name != _BY_ITS_OWN_NAME]
    return any(entry in names or any(name.startswith(f"{entry}.") for name in under) for entry in renewed)
