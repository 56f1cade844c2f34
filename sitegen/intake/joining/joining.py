"""Merge the text of a new inspection with the store's record. Pure.

The store's own decisions (status, price, terms, history) are always kept. A group that the new inspection lacks is
copied with its comments; within a group, values that still apply are copied key by key. Defects noted before keep
their ids, and photos and checks that refer to them are renamed.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

import yaml

from sitegen.intake.joining.carrying import Both, carry
from sitegen.intake.joining.in_place import InPlace, Path, at, flow_of, keys_of, tree_of
from sitegen.intake.joining.same_flaws import Flaw
from sitegen.records.disclosure import CheckResult
from sitegen.records.vehicle_record import VehicleRecord, check_result

OF_THE_STORE = ("formerly", "status", "listed_on", "sold_on", "price", "location", "sale_terms", "history")
WHERE_SILENT = (
    "title", "recalls", "earlier_readings", "services", "work_done", "before_delivery", "not_for_road_use",
    "additions", "harmless", "equipment", "photos", "walk_around", "notes",
)  # fmt: skip
OF_ITS_DAY = (
    "inspection", "tires", "brakes", "brake_fluid", "coolant", "battery", "traction_battery", "paint",
)  # fmt: skip
"""Groups measured on one day. They are not copied to another."""


@dataclass(frozen=True)
class Joined:
    """The merged text, and the names of keys that a person should know about."""

    text: str
    of_the_store: tuple[str, ...] = ()
    """Keys kept from the store's record."""
    holding: tuple[str, ...] = ()
    """Values copied into the new inspection because they still apply."""
    of_its_day: tuple[str, ...] = ()
    """Values of the old inspection that were not copied."""
    passed_over: tuple[str, ...] = ()
    """Values in the new inspection that only the store may set, and that were ignored."""
    flaws: tuple[str, ...] = ()
    """Notes about the ids of defects, one sentence each."""


@dataclass(frozen=True)
class Inspected:
    """A record, and the text that it was read from."""

    text: str
    record: VehicleRecord


def joined(
    new: Inspected, old: Inspected, flaws: Sequence[Flaw], names: Mapping[str, str], languages: Collection[str]
) -> Joined:
    """Return the new inspection merged with the store's record. Raises JoiningError.

    `flaws` are the defects of the new inspection; `names` maps its photos to their new names.
    """
    before, writing = _plain(old.text), InPlace(_plain(new.text))
    then = tree_of(before)
    _name_anew(writing, flaws, names)
    _translate(writing, then, languages)
    holding = [_of(place, keys) for place, keys in carry(Both(new.record, old.record, writing, then, flaws)) if keys]
    text = writing.changed()
    now = tree_of(text)
    blocks, present = _blocks(before, then), _blocks(text, now)
    kept = [key for key in OF_THE_STORE if key in blocks]
    for key in {*kept, "status"} & present.keys():
        text = text.replace(present[key], "", 1)
    wanted = [*kept, *(key for key in WHERE_SILENT if key in blocks and key not in present)]
    return Joined(
        text=f"{text.rstrip()}\n{''.join(blocks[key] for key in wanted)}",
        of_the_store=tuple(wanted),
        holding=tuple(holding),
        of_its_day=tuple(_of_its_day(now, then, new.record, old.record, flaws)),
        passed_over=tuple(_passed_over(writing.tree, then, kept)),
        flaws=tuple(flaw.words for flaw in flaws if flaw.words),
    )


def photo_names(flaws: Sequence[Flaw]) -> dict[str, str]:
    """Return new names for photos that are named after a defect whose id changed."""
    return {
        photo.file: flaw.id + photo.file.removeprefix(flaw.defect.id)
        for flaw in flaws
        for photo in flaw.defect.photos
        if flaw.id != flaw.defect.id and photo.file.startswith((f"{flaw.defect.id}-", f"{flaw.defect.id}."))
    }


def _plain(text: str) -> str:
    return text.removeprefix("\N{BYTE ORDER MARK}").replace("\r\n", "\n")


def _blocks(text: str, tree: yaml.MappingNode) -> dict[str, str]:
    """Return the lines of each top-level key, without comments between keys."""
    entries = [(str(name.value), name.start_mark.index) for name, _ in tree.value]
    ends = [*(start for _, start in entries[1:]), len(text)]
    found = {}
    for (key, start), end in zip(entries, ends, strict=True):
        lines = text[start:end].splitlines(keepends=True)
        while lines and (not lines[-1].strip() or lines[-1].startswith(("#", "..."))):
            lines.pop()
        block = "".join(lines)
        found[key] = block if block.endswith("\n") else f"{block}\n"
    return found


def _name_anew(writing: InPlace, flaws: Sequence[Flaw], names: Mapping[str, str]) -> None:
    """Write the new ids of defects and names of photos wherever the text refers to them."""
    ids = {flaw.defect.id: flaw.id for flaw in flaws if flaw.id != flaw.defect.id}
    for place, flaw in enumerate(flaws):
        if flaw.id != flaw.defect.id:
            writing.put(("defects", place, "id"), flaw.id)
    for path, name in _names(writing.tree):
        new = (names if path[-1] in ("file", "poster") else ids).get(name, name)
        if new != name:
            writing.put(path, new)


def _names(tree: yaml.MappingNode) -> Iterator[tuple[Path, str]]:
    """Yield each place where a record refers to a photo or defect, with the name."""
    places: list[Path] = [("photos", place, "file") for place in _places(tree, ("photos",))]
    for defect in _places(tree, ("defects",)):
        photos = _places(tree, ("defects", defect, "photos"))
        places += [("defects", defect, "photos", photo, "file") for photo in photos]
    places += [("checks", point, "defect") for point in keys_of(at(tree, ("checks",)))]
    for key in ("work_done", "before_delivery"):
        for work in _places(tree, (key,)):
            places += [(key, work, "settles", one) for one in _places(tree, (key, work, "settles"))]
    for path in [*places, ("walk_around", "poster")]:
        node = at(tree, path)
        if isinstance(node, yaml.ScalarNode):
            yield path, str(node.value)


def _places(tree: yaml.Node, path: Path) -> range:
    node = at(tree, path)
    return range(len(node.value) if isinstance(node, yaml.SequenceNode) else 0)


def _translate(writing: InPlace, old: yaml.MappingNode, languages: Collection[str]) -> None:
    """Restore the translations of each text that the old record has in the same words."""
    book: dict[tuple[str, str], yaml.MappingNode] = {}
    for text in _texts(old, languages):
        for phrase in _phrases(text):
            book.setdefault(phrase, text)
    for text in _texts(writing.tree, languages):
        found = {id(before): before for before in map(book.get, _phrases(text))}
        before = next(iter(found.values()))
        if len(found) == 1 and before is not None and len(before.value) > len(text.value):
            writing.replace(text, flow_of(before))


def _phrases(text: yaml.MappingNode) -> list[tuple[str, str]]:
    return [(name.value, " ".join(value.value.split()).casefold()) for name, value in text.value]


def _texts(node: yaml.Node, languages: Collection[str]) -> Iterator[yaml.MappingNode]:
    """Yield each text that is written by language."""
    if isinstance(node, yaml.SequenceNode):
        for inner in node.value:
            yield from _texts(inner, languages)
    elif isinstance(node, yaml.MappingNode):
        are_texts = all(isinstance(value, yaml.ScalarNode) for _, value in node.value)
        if node.value and are_texts and {name.value for name, _ in node.value} <= set(languages):
            yield node
        for _, inner in node.value:
            yield from _texts(inner, languages)


def _of_its_day(
    now: yaml.MappingNode,
    then: yaml.MappingNode,
    new: VehicleRecord,
    old: VehicleRecord,
    flaws: Sequence[Flaw],
) -> Iterator[str]:
    """Yield the values of the old inspection that were measured on its day and are not in the merged one."""
    for key in OF_ITS_DAY:
        yield from _missing(now, then, (key,))
    silent = sum(
        check_result(check) is not CheckResult.NOT_CHECKED
        and check_result(new.checks.get(point)) is CheckResult.NOT_CHECKED
        for point, check in old.checks.items()
    )
    if silent:
        yield f"{silent} of the checks"
    ids = {defect.id: place for place, defect in enumerate(old.defects)}
    for place, flaw in enumerate(flaws):
        if flaw.before is not None and flaw.id in ids:
            before = at(then, ("defects", ids[flaw.id]))
            gone = [key for key in keys_of(before) if at(now, ("defects", place, key)) is None]
            if gone:
                yield _of(f"defects.{flaw.id}", gone)


def _missing(now: yaml.MappingNode, then: yaml.MappingNode, path: Path) -> Iterator[str]:
    """Yield the parts that are missing: a whole part, or its missing keys."""
    before, after = at(then, path), at(now, path)
    if before is not None and after is None:
        yield ".".join(map(str, path))
    elif isinstance(before, yaml.MappingNode):
        gone = [key for key in keys_of(before) if at(now, (*path, key)) is None]
        if gone:
            yield _of(".".join(map(str, path)), gone)
        for key in keys_of(before):
            if key not in gone:
                yield from _missing(now, then, (*path, key))


def _of(place: str, keys: Collection[str]) -> str:
    return f"{place} ({', '.join(keys)})"


def _passed_over(new: yaml.MappingNode, old: yaml.MappingNode, kept: Sequence[str]) -> Iterator[str]:
    for key in kept:
        said, before = at(new, (key,)), at(old, (key,))
        if said is not None and before is not None and key != "status" and flow_of(said) != flow_of(before):
            yield f"{key} ({flow_of(said)})"
