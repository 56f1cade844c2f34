"""The tasks about a vehicle that need no pages: the gate's decision, and `record.json`."""

from __future__ import annotations

from sitegen.condition.judging import judge_gate
from sitegen.engine.reader import Reader
from sitegen.engine.task import BYTES, JSON, given, task, typed
from sitegen.pages.vehicle.record_json import canonical_record, published_digests
from sitegen.photos.planning.pictures import Picture, Pictures
from sitegen.reading.vehicle_task import FIGURES, SETTINGS, vehicle_result
from sitegen.records.film import ShownFilm
from sitegen.records.vehicle_record import VehicleRecord


@given(typed(dict[str, Picture]))
def pictures_of() -> None:
    """The pictures of a vehicle's photos, by the photo's file in the record."""


@given(typed(ShownFilm | None))
def film_of() -> None:
    """The film of a vehicle as it is published; None if it has none."""


@task(JSON, seconds=0.005, is_near=True)
def may_publish(read: Reader, stock: str) -> bool:
    """Return whether the gate lets a vehicle's page be published. The record and the region's figures decide."""
    found, settings = read.result(vehicle_result, stock), read.parts(SETTINGS)
    if found.record is None or settings is None:
        return False
    return judge_gate(found.record, read.input(FIGURES, settings.region.value), found.clips).may_publish


@task(BYTES, seconds=0.005, is_near=True)
def record_json(read: Reader, stock: str) -> bytes:
    """Return the bytes of a vehicle's `record.json`."""
    record, film = record_of(read, stock), read.result(film_of, stock)
    pictures, settings = Pictures.of_one(stock, read.result(pictures_of, stock)), read.parts(SETTINGS)
    assert settings is not None
    return canonical_record(record, settings, published_digests(record, pictures, film))


def record_of(read: Reader, stock: str) -> VehicleRecord:
    """Return the record of a vehicle that has no error."""
    record = read.result(vehicle_result, stock).record
    assert record is not None, "a vehicle with an error is left out"
    return record
