"""Makes what every vehicle has in one language: taken from memory, made by workers, or here where there is little.

A worker is given all that a vehicle's pages are made from, words and templates too, and gives bytes back: so it may
be on any machine that has the same version of this program. What it cannot make is made here once more, where a fault
can be told by its place in the theme.
"""

from __future__ import annotations

import pickle
import zlib
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field, replace
from datetime import date
from functools import lru_cache

from sitegen.condition.basis.findings import Condition
from sitegen.engine.days import untracked
from sitegen.engine.workers import run_bounded
from sitegen.memory import BuildMemory
from sitegen.pages.composing_vehicle import vehicle_pieces
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.page import Page, Piece, rendered
from sitegen.pages.frame.theme import CarriedTheme, Renderer
from sitegen.pages.inventory.page import for_sale
from sitegen.pages.kept.versions import Version
from sitegen.pages.language.translator import Translator
from sitegen.pages.material import Material
from sitegen.pages.nearness import Nearness
from sitegen.pages.remembering import NoMemory, PageMemory, as_bytes, digest_of_sources, from_bytes
from sitegen.pages.sold import is_long_sold
from sitegen.photos.planning.pictures import Picture, Pictures
from sitegen.records.figures import Figures
from sitegen.records.store import Store, StoredVehicle
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shelf import Shelf

MADE_HERE = 60
"""So many vehicles are made in the time that it takes workers to begin."""
AT_ONCE = 8
"""Vehicles given to a worker at a time: some 2 MB of pages come back."""
MEGABYTES_OF_PAGES = 60.0
"""What they take, at most, about, with what they are made from: each worker has a few such waiting for it."""


@dataclass(frozen=True)
class Means:
    """What pages are made with. None of it changes a byte of them."""

    memory: PageMemory = field(default_factory=NoMemory)
    workers: Executor | None = None
    """None makes everything here."""
    shelf: Shelf = field(default_factory=Shelf)
    """Where the bytes of pages are put, by path."""
    templates: BuildMemory | None = None
    """What knows to what templates compile."""
    made_here: int = MADE_HERE
    """Up to so many vehicles do without workers."""


def vehicles_made(
    around: Surroundings, material: Material, renderer: Renderer, means: Means
) -> Iterator[tuple[Piece, ...]]:
    """Yield each vehicle's pages as bytes, and the share picture that they want; in no order.

    What a sold vehicle has is always made anew, for its page leads to vehicles near to it, whichever those are, and
    fades with time.
    """
    language = around.translator.language
    sources: dict[str, str] = {}
    to_make: list[VehicleRecord] = []
    for record in material.published(around.store):
        place = around.at(record.location)
        digest = None if record.status is Status.SOLD else digest_of_sources(record, place, material)
        if digest is not None:
            sources[record.stock] = digest
            kept = means.memory.recall(language, record.stock, digest)
            if kept is not None:
                yield from_bytes(kept, record, place, material)
                continue
        to_make.append(record)
    nearness = Nearness(for_sale(around.store, material.conditions))
    is_little = means.workers is None or len(to_make) <= means.made_here
    for record, bytes_made in (
        _here(to_make) if is_little else _by_workers(to_make, around, material, means, nearness)
    ):
        place = around.at(record.location)
        if bytes_made is None:
            bytes_made = as_bytes(_made_here(record, place, material, renderer, _near(record, nearness)))
        if record.stock in sources:
            means.memory.keep(language, record.stock, sources[record.stock], bytes_made)
        yield from_bytes(bytes_made, record, place, material)


def _made_here(
    record: VehicleRecord,
    around: Surroundings,
    material: Material,
    renderer: Renderer,
    near: Sequence[VehicleRecord],
) -> tuple[Piece, ...]:
    composed = vehicle_pieces(record, around, material, near)
    return tuple(rendered(piece, renderer) if isinstance(piece, Page) else piece for piece in composed)


def _near(record: VehicleRecord, nearness: Nearness) -> tuple[VehicleRecord, ...]:
    return nearness.to(record) if record.status is Status.SOLD else ()


def _here(records: Sequence[VehicleRecord]) -> Iterator[tuple[VehicleRecord, bytes | None]]:
    yield from ((record, None) for record in records)


@dataclass(frozen=True)
class _Language:
    """What all pages of vehicles in one language are made from; it is told apart by its bytes."""

    store: Store
    """Without vehicles."""
    theme: CarriedTheme
    translator: Translator
    folder: str
    today: date
    figures: Figures


@dataclass(frozen=True)
class _Task:
    """What the pages of one vehicle are made from."""

    vehicle: StoredVehicle
    near: tuple[VehicleRecord, ...]
    """Those that the page of a sold vehicle leads to."""
    conditions: Mapping[str, Condition]
    pictures: Mapping[tuple[str, str], Picture]
    facts: bytes
    versions: tuple[Version, ...]


def _by_workers(
    records: Sequence[VehicleRecord], around: Surroundings, material: Material, means: Means, nearness: Nearness
) -> Iterator[tuple[VehicleRecord, bytes | None]]:
    """Yield what workers made of each vehicle; None of one where that went wrong."""
    assert means.workers is not None
    formats = replace(around.translator.formats)  # without what it has written before
    told = _Language(
        replace(around.store, vehicles=()),
        around.theme.carried(),
        replace(around.translator, formats=formats),
        around.language_folder,
        untracked(around.today),
        material.figures,
    )
    packed = zlib.compress(pickle.dumps(told))
    stored = {vehicle.record.stock: vehicle for vehicle in around.store.vehicles}

    for record in records:
        is_long_sold(record, around.settings, around.today)  # recorded here, for workers get a plain day

    def submit(workers: Executor, batch: Sequence[VehicleRecord]) -> Future[list[bytes | None]]:
        return workers.submit(_make, packed, [_task(record, stored, nearness, material) for record in batch])

    batches = (records[start : start + AT_ONCE] for start in range(0, len(records), AT_ONCE))
    for batch, made in run_bounded(means.workers, submit, ((batch, MEGABYTES_OF_PAGES) for batch in batches)):
        yield from zip(batch, made, strict=True)


def _task(
    record: VehicleRecord,
    stored: Mapping[str, StoredVehicle],
    nearness: Nearness,
    material: Material,
) -> _Task:
    stock = record.stock
    return _Task(
        stored[stock],
        _near(record, nearness),
        {stock: material.conditions[stock]},
        {(stock, file): picture for file, picture in material.pictures.of_vehicle(stock).items()},
        material.facts[stock],
        tuple(material.versions.get(stock, ())),
    )


def _make(packed: bytes, tasks: Sequence[_Task]) -> list[bytes | None]:
    """Make the pages of some vehicles: what a worker does."""
    return [_made(task, *_unpacked(packed)) for task in tasks]


@lru_cache(maxsize=2)
def _unpacked(packed: bytes) -> tuple[Surroundings, Renderer, Figures]:
    told: _Language = pickle.loads(zlib.decompress(packed))
    theme = told.theme.unpacked()
    around = Surroundings(told.store, theme, told.translator, told.folder, told.today)
    return around, theme.speaking(told.translator.catalog), told.figures


def _made(task: _Task, around: Surroundings, renderer: Renderer, figures: Figures) -> bytes | None:
    record = task.vehicle.record
    place = replace(around, store=replace(around.store, vehicles=(task.vehicle,))).at(record.location)
    pictures = Pictures(around.store.folder, task.pictures)
    stock = record.stock
    material = Material(task.conditions, pictures, figures, {stock: task.facts}, versions={stock: task.versions})
    try:
        return as_bytes(_made_here(record, place, material, renderer, task.near))
    except Exception:  # it is met again where its place can be told
        return None
