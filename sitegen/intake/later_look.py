"""Add a later look at a vehicle that the store has: a visit, or a whole inspection, which is converted to a visit."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from filecmp import cmp
from pathlib import Path
from typing import Any

from sitegen.intake.visit_files import name_of_moment, put_in, visit_text
from sitegen.intake.zips.zip_layouts import PHOTOS
from sitegen.reading.validation.record_files import read_file
from sitegen.reading.vehicle_files import INSPECTION
from sitegen.reading.video.film_files import FOLDER as FILM
from sitegen.reading.visits import VISITS, read_visits
from sitegen.records.disclosure import Defect
from sitegen.records.problems import Problem
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.conversion import as_plain, visit_of
from sitegen.records.visits.current import current_record
from sitegen.records.visits.permissions import Change, changes_of
from sitegen.records.visits.visit import VISIT, Visit

OF_THE_STORE = ("formerly", "status", "listed_on", "sold_on", "price", "location", "sale_terms", "history")
"""Keys that a whole inspection cannot change, because the store decides them."""


@dataclass(frozen=True)
class Given:
    """An unpacked zip, and what it may change."""

    unpacked: Path
    """Folder of its files."""
    room: Path
    """An empty folder on the same disk."""
    called: str
    """Name of the zip in messages."""
    digest: str = ""
    """SHA-256 of the zip, in hexadecimal."""
    may_change: Collection[Change] | None = None
    """Kinds of change that it may make. None permits all."""


@dataclass(frozen=True)
class LaterLook:
    """The result of adding a visit or a whole inspection to a vehicle that the store has."""

    wrong: tuple[Problem | str, ...]
    """All problems, warnings included."""
    visit: str | None = None
    """File name of the visit without its ending. None if nothing was taken in."""
    is_new: bool = True
    """Whether the store did not have it already."""
    passed_over: tuple[str, ...] = ()
    """Keys that were not taken in, because the store decides them."""
    not_mentioned: tuple[str, ...] = ()
    """Ids of defects of which it says nothing. They stay as they were."""
    changes: tuple[str, ...] = ()
    """Kinds of change that it makes, such as `measures`."""
    same: tuple[str, ...] = ()
    """Defects that were known by another id: `surface-rust-2 is sill-rust`."""


def take_in_inspection(vehicle: Path, given: Given, settings: SiteSettings, today: date) -> LaterLook:
    """Take in a whole inspection as a visit, or leave the vehicle's folder as it is. The caller holds the lock."""
    shown_as = f"{given.called}/{INSPECTION}"
    first = read_file(VehicleRecord, vehicle / INSPECTION, f"vehicles/{vehicle.name}/{INSPECTION}")
    new = read_file(VehicleRecord, given.unpacked / INSPECTION, shown_as)
    if first.record is None or new.record is None:
        return LaterLook((*first.problems, *new.problems))
    if first.record.vin != new.record.vin:
        fault = f"its VIN {new.record.vin} is not that of {vehicle.name}, {first.record.vin}"
        return LaterLook((f"{given.called}: {fault}; nothing of it was changed",))
    before = _current(first.record, vehicle)
    passed_over = tuple(key for key in OF_THE_STORE if new.record.states(key) and _differs(new.record, before, key))
    same = _same_defects(new.record, before)
    visit = visit_of(_with_known_ids(new.record, same), before, without=OF_THE_STORE)
    mentioned = {defect.id for defect in visit.defects}
    result = _put(vehicle, visit, given, shown_as, settings, today)
    return replace(
        result,
        passed_over=passed_over,
        same=tuple(f"{name} is {known}" for name, known in same.items()),
        not_mentioned=tuple(defect.id for defect in before.defects if defect.id not in mentioned),
    )


def take_in_visit(vehicle: Path, file: Path, given: Given, settings: SiteSettings, today: date) -> LaterLook:
    """Take in a visit, `file`, or leave the vehicle's folder as it is.

    Its photos and clips are beside it, in `../photos` and `../film`.
    """
    shown_as = f"{given.called}/{file.relative_to(file.parents[3]).as_posix()}"
    reading = read_file(VISIT, file, shown_as)
    if reading.record is None:
        return LaterLook(reading.problems)
    given = replace(given, unpacked=file.parent.parent)
    return _put(vehicle, reading.record, given, shown_as, settings, today)


def not_permitted(record: VehicleRecord | Visit, given: Given, *, is_first: bool = False) -> tuple[str, ...]:
    """Return an error for each kind of change that a record or a visit makes and that is not permitted."""
    if given.may_change is None:
        return ()
    keys: dict[Change, list[str]] = {}
    for change, key in changes_of(record, is_first=is_first):
        if change not in given.may_change:
            keys.setdefault(change, []).append(key)
    return tuple(
        f"{given.called}: it changes {', '.join(names)}, and files from the inbox may not: ask the person who looks "
        f"after the website, who can take it in with sitegen intake, or list {change} under inbox, may_change"
        for change, names in keys.items()
    )


def _put(vehicle: Path, visit: Visit, given: Given, shown_as: str, settings: SiteSettings, today: date) -> LaterLook:
    if wrong := not_permitted(visit, given):
        return LaterLook(wrong)
    unpacked = given.unpacked
    names = {of: dict(_free_names(vehicle / of, unpacked / of, visit.day)) for of in (PHOTOS, FILM)}
    files = {f"{of}/{name}": unpacked / of / old for of in names for old, name in names[of].items()}
    text = visit_text(_renamed(as_plain(visit), names[PHOTOS], names[FILM]), given.digest)
    result = put_in(vehicle, name_of_moment(visit.on), text, files, given.room, shown_as, settings, today)
    changes = tuple(dict.fromkeys(change.value for change, _ in changes_of(visit)))
    return LaterLook(result.problems, result.name, result.is_new, changes=changes)


def _current(first: VehicleRecord, vehicle: Path) -> VehicleRecord:
    files = read_visits(vehicle, f"vehicles/{vehicle.name}")
    visits = {file.name: visit for file in files if (visit := file.reading.record) is not None}
    return current_record(first, visits).record


def _same_defects(new: VehicleRecord, before: VehicleRecord) -> dict[str, str]:
    """Return the known id of each defect that is known by another: the only one of its kind at its place in both."""
    known = set(before.defects_ever())
    fresh = [_what_and_where(defect) for defect in new.defects]
    old = [_what_and_where(defect) for defect in before.defects]
    listed = {defect.id for defect in new.defects}
    return {
        defect.id: before.defects[old.index(what)].id
        for defect, what in zip(new.defects, fresh, strict=True)
        if defect.id not in known
        and fresh.count(what) == old.count(what) == 1
        and before.defects[old.index(what)].id not in listed
    }


def _what_and_where(defect: Defect) -> tuple[str, ...]:
    where = defect.where
    parts = sorted(" ".join(text.casefold().split()) for text in where.part.versions.values())
    return defect.kind, where.station.value, str(where.wheel), *parts


def _with_known_ids(record: VehicleRecord, names: Mapping[str, str]) -> VehicleRecord:
    """Return a record with other ids of defects, in the list and in the checks that name them.

    `names` maps each old id to its new one.
    """
    if not names:
        return record
    values = record.model_dump(mode="json", exclude_unset=True)
    for defect in values["defects"]:
        defect["id"] = names.get(defect["id"], defect["id"])
    for check in values.get("checks", {}).values():
        if isinstance(check, dict) and check.get("defect") in names:
            check["defect"] = names[check["defect"]]
    return VehicleRecord.model_validate_json(json.dumps(values), strict=True)


def _differs(new: VehicleRecord, before: VehicleRecord, key: str) -> bool:
    return bool(getattr(new, key) != getattr(before, key))


def _free_names(known: Path, fresh: Path, day: date) -> Iterator[tuple[str, str]]:
    """Yield the final name of each new file: its own, with the day before it if another file has that name."""
    taken = {file.name.casefold(): file for file in _files(known)}
    for file in _files(fresh):
        name = file.name
        while name.casefold() in taken and not cmp(taken[name.casefold()], file, shallow=False):
            name = f"{day}-{name}"
        same = taken.setdefault(name.casefold(), file)
        yield file.name, name if same is file else same.name


def _renamed(values: Mapping[str, Any], names: Mapping[str, str], films: Mapping[str, str]) -> dict[str, Any]:
    """Return the values of a visit with the final names of its photos, clips and captions."""

    def photos(entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
        return [{**entry, "file": names.get(entry["file"], entry["file"])} for entry in entries]

    renamed = dict(values)
    if "photos" in renamed:
        renamed["photos"] = photos(renamed["photos"])
    if renamed.get("film"):
        renamed["film"] = {
            **renamed["film"],
            "clips": [_renamed_clip(clip, films) for clip in renamed["film"]["clips"]],
        }
    if "defects" in renamed:
        renamed["defects"] = [
            {**defect, "photos": photos(defect["photos"])} if "photos" in defect else defect
            for defect in renamed["defects"]
        ]
    return renamed


def _renamed_clip(clip: Mapping[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    renamed = {**clip, "file": names.get(clip["file"], clip["file"])}
    if isinstance(clip.get("captions"), dict):
        renamed["captions"] = {tag: names.get(file, file) for tag, file in clip["captions"].items()}
    return renamed


def _files(folder: Path) -> list[Path]:
    return sorted(file for file in folder.glob("*") if file.is_file())


def visit_in(unpacked: Path) -> Path | None:
    """Return the visit in an unpacked zip, or None if it holds a whole inspection."""
    return next(iter(sorted(unpacked.glob(f"vehicles/*/{VISITS}/*.yaml"))), None)
