"""The text of a new inspection joined with what only the store's record holds: price, history, answers, papers. Pure.

What the store decides (status, price, terms, history) is the store's always. What the new inspection is silent about
is taken over as it was written, comments and all. A tire of the same date code keeps what was known of its fitting.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import yaml

from sitegen.records.vehicle_record import VehicleRecord

OF_THE_STORE = ("formerly", "status", "listed_on", "sold_on", "price", "location", "sale_terms", "history")
WHERE_SILENT = (
    "title", "recalls", "earlier_readings", "services", "work_done", "before_delivery", "not_for_road_use",
    "additions", "equipment", "walk_around", "notes",
)  # fmt: skip
_OF_A_TIRE = ("size", "kind", "new_tread", "fitted_at", "fitted_on")


class JoiningError(Exception):
    """Why two records cannot be joined, in words."""


@dataclass(frozen=True)
class Joined:
    """A record's text, and the keys that were taken over from the store's."""

    text: str
    taken_over: tuple[str, ...]


def joined(
    new: str, old: str, new_record: VehicleRecord, old_record: VehicleRecord, names: Mapping[str, str]
) -> Joined:
    """Return the new inspection with what is the store's. `names` are the new names of photos, by their old ones."""
    text = _with_photos_named(new.removeprefix("\N{BYTE ORDER MARK}"), names)
    text = _with_fitting(text, new_record, old_record)
    before = old.removeprefix("\N{BYTE ORDER MARK}").replace("\r\n", "\n")
    blocks, present = _blocks(before), _blocks(text)
    for key in OF_THE_STORE:
        if key in present:
            text = text.replace(present[key], "", 1)
    wanted = [key for key in OF_THE_STORE if key in blocks]
    wanted += [key for key in WHERE_SILENT if key in blocks and key not in present]
    added = "".join(blocks[key] for key in wanted)
    return Joined(f"{text.rstrip()}\n{added}", tuple(wanted))


def _tree(text: str) -> yaml.MappingNode:
    tree = yaml.compose(text, Loader=yaml.SafeLoader)
    if not isinstance(tree, yaml.MappingNode) or tree.flow_style:
        raise JoiningError("a record is not written a key a line: join the two by hand")
    return tree


def _blocks(text: str) -> dict[str, str]:
    """Return the lines of each key of the top level, without what stands between it and the next."""
    entries = [(str(name.value), name.start_mark.index) for name, _ in _tree(text).value]
    ends = [*(start for _, start in entries[1:]), len(text)]
    found = {}
    for (key, start), end in zip(entries, ends, strict=True):
        lines = text[start:end].splitlines(keepends=True)
        while lines and (not lines[-1].strip() or lines[-1].startswith(("#", "..."))):
            lines.pop()
        block = "".join(lines)
        found[key] = block if block.endswith("\n") else f"{block}\n"
    return found


def _with_photos_named(text: str, names: Mapping[str, str]) -> str:
    """Return a record's text in which photos have other names."""
    places = sorted(_photo_places(_tree(text)), key=lambda node: node.start_mark.index, reverse=True)
    for node in places:
        if node.value in names:
            text = text[: node.start_mark.index] + names[node.value] + text[node.end_mark.index :]
    return text


def _photo_places(tree: yaml.MappingNode) -> Iterator[yaml.ScalarNode]:
    lists = [_child(tree, "photos")]
    defects = _child(tree, "defects")
    if isinstance(defects, yaml.SequenceNode):
        lists += [_child(defect, "photos") for defect in defects.value]
    for photos in lists:
        for photo in photos.value if isinstance(photos, yaml.SequenceNode) else ():
            file = _child(photo, "file")
            if isinstance(file, yaml.ScalarNode):
                yield file


def _with_fitting(text: str, new: VehicleRecord, old: VehicleRecord) -> str:
    """Return a record's text with what was known of tires that are still the same, by their date code."""
    for wheel in ("left_front", "right_front", "left_rear", "right_rear", "spare"):
        now, before = getattr(new.tires, wheel), getattr(old.tires, wheel)
        if now is None or before is None or now.date_code != before.date_code or not _is_read(now.date_code):
            continue
        known = before.model_dump(mode="json", exclude_none=True)
        for key in _OF_A_TIRE:
            if getattr(now, key) is None and key in known:
                text = _with_key(text, ("tires", wheel), key, str(known[key]))
    return text


def _is_read(code: str | None) -> bool:
    return code is not None and code.isdigit()


def _with_key(text: str, path: tuple[str, ...], key: str, value: str) -> str:
    node: yaml.Node | None = _tree(text)
    for step in path:
        node = _child(node, step)
    if not isinstance(node, yaml.MappingNode) or not node.value:
        raise JoiningError(f"{'.'.join(path)} cannot be added to: join the two by hand")
    start = node.value[0][0].start_mark
    between = ", " if node.flow_style else "\n" + " " * start.column
    return f'{text[: start.index]}{key}: "{value}"{between}{text[start.index :]}'


def _child(node: yaml.Node | None, key: str) -> yaml.Node | None:
    entries = node.value if isinstance(node, yaml.MappingNode) else ()
    return next((value for name, value in entries if name.value == key), None)
