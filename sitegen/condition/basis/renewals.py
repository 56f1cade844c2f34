"""Find the work or promise that renews a part after its measurement."""

from __future__ import annotations

from sitegen.condition.basis.values import Renewal
from sitegen.records.quantities import Distance
from sitegen.records.vehicle_record import VehicleRecord


def renewal_of(record: VehicleRecord, *names: str) -> Renewal | None:
    """Return the renewal of a part after its measurement, or None. A promise comes before work already done.

    `names` are the names that `renews` may use: ("tires.left_front",). A shorter name covers all parts below it. Work
    before the measurement is not a renewal: the new part was measured.
    """
    for promise in record.before_delivery:
        if _renews(promise.renews, names):
            return Renewal(promise.what, None, odometer_now(record))
    measured_on = record.look_at(*names).on
    since = [work for work in record.work_done if _renews(work.renews, names) and work.on >= measured_on]
    if not since:
        return None
    last = max(since, key=lambda work: work.on)
    return Renewal(last.what, last.on, last.at or odometer_now(record))


def wear_ended_by(record: VehicleRecord, part: str, *causes: str) -> Renewal | None:
    """Return the work that removed the cause of a part's faster wear, whenever it was done. None if there is none.

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
    """Return whether the measured part is still on the vehicle. A promised renewal is not done yet."""
    return renewal is None or renewal.promised


def fitted_by_work(record: VehicleRecord, *names: str) -> Distance | None:
    """Return the odometer reading at which the shop fitted the part that was then measured. None if it did not."""
    measured_on = record.look_at(*names).on
    before = [work for work in record.work_done if _renews(work.renews, names) and work.on < measured_on]
    return max(before, key=lambda work: work.on).at if before else None


def odometer_now(record: VehicleRecord) -> Distance | None:
    """Return the highest odometer reading in the record. None if it has none."""
    return max((reading for reading in (record.odometer.reading, record.inspection.at) if reading), default=None)


_BY_ITS_OWN_NAME = "tires.spare"
"""Parts that a shorter name does not cover: new `tires` are those on the road, not the spare."""


def _renews(renewed: tuple[str, ...], names: tuple[str, ...]) -> bool:
    under = [name for name in names if name != _BY_ITS_OWN_NAME]
    return any(entry in names or any(name.startswith(f"{entry}.") for name in under) for entry in renewed)
