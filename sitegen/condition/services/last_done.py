"""When a service was last done, by the records: a range of days and of odometer readings."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from sitegen.condition.basis.odometer import in_use_from, may_project, odometer_between
from sitegen.condition.basis.renewals import odometer_now, renewal_of
from sitegen.condition.basis.values import Said, Span, Value
from sitegen.records.base import LocalizedText, PartialDate
from sitegen.records.quantities import Distance
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import ServiceRecord


@dataclass(frozen=True)
class LastDone:
    """When a service was last done. Without a record, that is some time since the vehicle was new."""

    earliest: date
    latest: date
    metres: Span | None
    """The odometer at that time. None if the odometer is not reliable."""
    recorded: bool
    said: Said
    note: LocalizedText | None = None
    """The record's words about it."""


def last_done(record: VehicleRecord, service: str, as_of: date) -> LastDone:
    """Return when a service was last done. Without a record, return the whole life of the vehicle."""
    renewal = renewal_of(record, f"services.{service}", service)
    if renewal is not None and renewal.promised:
        return _known(record, as_of, as_of, renewal.at, Said("outlook.service.promised", {"what": renewal.what}))
    shown = [*_services(record, service), *_works(record, service)]
    if not shown:
        now = odometer_now(record) if may_project(record) else None
        since_new = None if now is None else Span(Fraction(0), now.metres)
        no_record = Said("outlook.service.no_record")
        return LastDone(in_use_from(record, as_of), as_of, since_new, recorded=False, said=no_record)
    last = max(shown, key=lambda done: (_day(done), done.at.metres if done.at else Fraction(0)))
    on = last.done_on
    earliest, latest = (on.earliest, on.latest) if on is not None else (in_use_from(record, as_of), as_of)
    return replace(_known(record, earliest, min(latest, as_of), last.at, _said(last)), note=last.note)


def _services(record: VehicleRecord, service: str) -> list[ServiceRecord]:
    return [
        done
        for done in record.services
        if done.service == service and (done.done_on is not None or done.at is not None)
    ]


def _works(record: VehicleRecord, service: str) -> list[ServiceRecord]:
    """Return the shop's own work as service records. Work without a reading takes the last known one."""
    return [
        ServiceRecord(
            service=service,
            done_on=PartialDate.parse(work.on.isoformat()),
            at=work.at or (odometer_now(record) if work.on >= record.odometer.read_on else None),
        )
        for work in record.work_done
        if service in work.renews or f"services.{service}" in work.renews
    ]


def _day(done: ServiceRecord) -> date:
    return done.done_on.latest if done.done_on is not None else date.min


def _known(record: VehicleRecord, earliest: date, latest: date, at: Distance | None, said: Said) -> LastDone:
    metres = _metres(record, earliest, latest)
    if metres is not None and at is not None:
        metres = Span.at(at.metres)
    return LastDone(earliest, latest, metres, recorded=True, said=said)


def _metres(record: VehicleRecord, earliest: date, latest: date) -> Span | None:
    return odometer_between(record, earliest, latest) if may_project(record) else None


def _said(done: ServiceRecord) -> Said:
    figures: dict[str, Value] = {}
    if done.done_on is not None:
        figures["on" if done.done_on.earliest == done.done_on.latest else "in"] = done.done_on
    if done.at is not None:
        figures["at"] = done.at
    return Said(f"outlook.service.last_done_{'_'.join(figures)}", figures)
