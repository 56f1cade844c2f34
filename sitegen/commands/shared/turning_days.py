"""When the same files come to something else, as time has passed: no page tells the day, but a few hang on one."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from pathlib import Path
from zoneinfo import ZoneInfo

from sitegen.publishing.marker import read_marker
from sitegen.publishing.retention import RETENTION
from sitegen.records.store import Store
from sitegen.records.vehicle import Status


def next_turn(store: Store, moment: datetime, published: Path | None = None) -> datetime:
    """Return the first moment after this one from which on the same files may come to something else.

    `published` is where the site of the store is, if that is asked about.
    """
    begun = (_beginning(day, zone) for day, zone in _turning_days(store, moment, published))
    return min(turn for turn in begun if turn > moment)


def _turning_days(store: Store, moment: datetime, published: Path | None) -> Iterator[tuple[date, tzinfo]]:
    """Yield the days, and where they begin: at the store, but for what goes by no place."""
    at_store, settings = ZoneInfo(store.settings.time_zone), store.settings
    # An old vehicle is exempt from a statement by the year.
    yield date(moment.astimezone(at_store).year + 1, 1, 1), at_store
    for record in (vehicle.record for vehicle in store.vehicles):
        if record.status is Status.SOLD:  # search engines are asked to forget its page
            yield (
                (record.sold_on or record.inspection.done_on) + timedelta(days=settings.sold_noindex_after_days + 1),
                at_store,
            )
        else:  # its inspection is old
            yield record.inspection.done_on + timedelta(days=settings.stale_after_days + 1), at_store
    marker = read_marker(published) if published is not None else None
    for fallen in (marker.retained or {} if marker is not None else {}).values():  # what stays for open tabs may go
        yield fallen.since + RETENTION + timedelta(days=1), UTC


def _beginning(day: date, zone: tzinfo) -> datetime:
    return datetime.combine(day, time(), zone).astimezone(UTC)
