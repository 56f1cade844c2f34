"""Match the defects of a new inspection with defects noted before. Pure.

An id is an address and is never given to another defect. The bay page numbers defects anew each time, kind by kind
(`surface-rust-1`), so such an id identifies nothing. Those defects match by kind, place and the words for the part.
An id that a person chose matches unless both kind and place differ. A defect that was repaired and is listed again is
a new one, because the repair says nothing about it.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from sitegen.records.base import LocalizedText
from sitegen.records.disclosure import CheckNote, Defect
from sitegen.records.vehicle_record import VehicleRecord, is_put_right


@dataclass(frozen=True)
class Flaw:
    """A defect of the new inspection with its final id."""

    defect: Defect
    id: str
    before: Defect | None = None
    """The same defect as last noted, or None."""
    words: str | None = None
    """A note about its id for a person."""


def flaws(new: VehicleRecord, old: VehicleRecord) -> tuple[Flaw, ...]:
    """Return the defects of a new inspection in order. `old` is the previous record with its earlier inspections."""
    known = _known(old)
    same = _same(new, old, known)
    used = {*_ids(old), *same.values()} | {one.id for one in new.defects}
    left = [one for name, one in known.items() if name not in same.values()]
    found: list[Flaw] = []
    for place, defect in enumerate(new.defects):
        if place in same:
            before = known[same[place]]
            words = f"{defect.id} is {before.id} from before: the same kind at the same place"
            found.append(Flaw(defect, before.id, before, words if before.id != defect.id else None))
        else:
            is_taken = defect.id in _ids(old) or defect.id in same.values()
            name = _free(defect, used) if is_taken else defect.id
            used.add(name)
            found.append(Flaw(defect, name, words=_of_a_new_one(defect, name, known, left)))
    return tuple(found)


def _of_a_new_one(defect: Defect, name: str, known: Mapping[str, Defect], left: Collection[Defect]) -> str | None:
    told = []
    if name != defect.id:
        other = known.get(defect.id)
        was = f"{_told(other)}" if other is not None else "of a flaw that is gone"
        told.append(f"{defect.id} is {name} now, for that id is {was}, and an address is never given twice")
    alike = [one.id for one in left if _corner(one) == _corner(defect) and one.kind == defect.kind]
    if alike:
        told.append(
            f"{name} is taken for a flaw of its own; if it is {' or '.join(alike)}, write that id in its place"
        )
    return "; ".join(told) or None


def _same(new: VehicleRecord, old: VehicleRecord, known: Mapping[str, Defect]) -> dict[int, str]:
    """Return the ids of known defects, by the position of the new defect that matches."""
    said = set(_settled(new))
    same = {
        place: one.id
        for place, one in enumerate(new.defects)
        if one.id in known and not _is_numbered(one) and _may_be(one, known[one.id])
    }
    open_ones = {
        name: one
        for name, one in known.items()
        if name not in same.values() and (name in said or not is_put_right(old, f"defects.{name}"))
    }
    numbered = [place for place, one in enumerate(new.defects) if place not in same and _is_numbered(one)]
    for has_to_be_sure in (True, False):
        for place, name in _pairs(new, [one for one in numbered if one not in same], open_ones, has_to_be_sure):
            same[place] = name
            del open_ones[name]
    return same


def _pairs(
    new: VehicleRecord, places: Collection[int], known: Mapping[str, Defect], by_words: bool
) -> Iterator[tuple[int, str]]:
    """Yield each new defect that matches exactly one known defect, by words too or by kind and place alone."""

    def is_one(defect: Defect, before: Defect) -> bool:
        return _is_alike(defect, before) and (not by_words or share_words(defect.words, before.words))

    for place in list(places):
        mine = [name for name, before in known.items() if is_one(new.defects[place], before)]
        if len(mine) == 1 and not any(
            is_one(new.defects[other], known[mine[0]]) for other in places if other != place
        ):
            yield place, mine[0]


def _known(old: VehicleRecord) -> dict[str, Defect]:
    """Return every defect ever noted, as last noted, by id."""
    known: dict[str, Defect] = {}
    for record in (old, *old.earlier):
        for defect in record.defects:
            known.setdefault(defect.id, defect)
    return known


def _ids(old: VehicleRecord) -> set[str]:
    """Return every id ever used, including those that only work or history names."""
    found = set(_known(old))
    for record in (old, *old.earlier):
        found |= set(_settled(record))
        found |= {check.defect for check in record.checks.values() if isinstance(check, CheckNote) and check.defect}
        about = (name for event in record.history for name in event.about)
        found |= {name.removeprefix("defects.") for name in about if name.startswith("defects.")}
    return found


def _settled(record: VehicleRecord) -> Iterator[str]:
    """Yield the ids that work or promises in a record name."""
    for work in record.work_done:
        yield from work.settles
    for promise in record.before_delivery:
        yield from promise.settles


def _is_numbered(defect: Defect) -> bool:
    """Return whether an id was generated by the bay page: the kind and a number."""
    return re.fullmatch(rf"{_stem(defect)}-\d+", defect.id) is not None


def _stem(defect: Defect) -> str:
    return re.sub("[^a-z0-9]+", "-", defect.kind.casefold()).strip("-")


def _free(defect: Defect, used: Collection[str]) -> str:
    stem = _stem(defect) if _is_numbered(defect) else defect.id
    return next(name for name in (f"{stem}-{number}" for number in range(2, len(used) + 3)) if name not in used)


def _may_be(one: Defect, other: Defect) -> bool:
    return one.kind == other.kind or _corner(one) == _corner(other)


def _is_alike(one: Defect, other: Defect) -> bool:
    is_there = _corner(one) == _corner(other) and share_words(one.where.part, other.where.part)
    return one.kind == other.kind and is_there


def _corner(defect: Defect) -> tuple[object, object]:
    return defect.where.station, defect.where.wheel


def share_words(one: LocalizedText, other: LocalizedText) -> bool:
    """Return whether two texts have the same words in some language, in any order."""
    return bool(_plain(one) & _plain(other))


def _plain(text: LocalizedText) -> set[tuple[str, ...]]:
    return {tuple(sorted(re.findall(r"\w+", version.casefold()))) for version in text.versions.values()}


def _told(defect: Defect) -> str:
    station = f"{defect.where.station}"
    part = next(iter(defect.where.part.versions.values()))
    return f"{defect.kind} at the {station}, {part}"
