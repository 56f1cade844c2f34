"""Copy values of the previous record that still apply into a new inspection. Pure.

Values of the vehicle itself apply until somebody changes them: equipment, papers, bills, work, promises, photos. Data
of a fitted part applies while nothing suggests another part. Measurements of one day are not copied.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

import yaml

from sitegen.intake.joining.in_place import InPlace, Path, at, flow_of, keys_of
from sitegen.intake.joining.same_flaws import Flaw, share_words
from sitegen.records.base import LocalizedText
from sitegen.records.disclosure import CheckNote, CheckResult
from sitegen.records.quantities import Depth
from sitegen.records.vehicle import ON_THE_GROUND, Wheel
from sitegen.records.vehicle_record import VehicleRecord, check_result
from sitegen.records.wear import Brake, DiscBrake, DrumBrake
from sitegen.records.wheels.tires import OF_ALL_TIRES, Tire

OF_A_TIRE = ("size", "kind", "new_tread", "fitted_at", "fitted_on")
OF_A_BRAKE = (*("new_pads", "new_shoes", "bonded", "rotor_discard", "drum_discard", "fitted_at", "fitted_on"),)
ANOTHER_PLACE = Fraction(1, 10)
"""Millimeters by which two readings of one rotor or drum may differ by place: common practice."""
LISTS = ("earlier_readings", "services", "work_done", "before_delivery", "additions")
"""Lists to which a new inspection adds entries."""


@dataclass(frozen=True)
class Both:
    """The two records with their trees. Defects of the new record already carry their final ids."""

    new: VehicleRecord
    old: VehicleRecord
    writing: InPlace
    """The text of the new record, under edit."""
    old_tree: yaml.MappingNode
    flaws: Sequence[Flaw]

    def has(self, path: Path) -> bool:
        """Return whether the new record has a value at a path."""
        return at(self.writing.tree, path) is not None

    def had(self, path: Path) -> yaml.Node | None:
        """Return the old record's node at a path, or None."""
        return at(self.old_tree, path)

    def take_over(self, path: Path, keys: Collection[str], old_path: Path | None = None) -> Iterator[str]:
        """Copy each key that the new record lacks, and yield its name."""
        for key in keys:
            before = self.had((*(path if old_path is None else old_path), key))
            if before is not None and not self.has((*path, key)):
                self.writing.put((*path, key), flow_of(before))
                yield key


def carry(both: Both) -> Iterator[tuple[str, Collection[str]]]:
    """Copy values that still apply into the new record. Yield each place with the copied keys, in record order."""
    yield "vehicle", tuple(both.take_over(("vehicle",), list(keys_of(both.had(("vehicle",))))))
    yield "odometer", tuple(both.take_over(("odometer",), ("statement",)))
    yield from _papers(both)
    yield "inspection", tuple(both.take_over(("inspection",), ("gauges",)))
    yield from _tires(both)
    yield from _brakes(both)
    yield from _battery_and_fluids(both)
    yield from _checks(both)
    yield from _lists(both)
    yield from _defects(both)
    yield from _photos(both)


def _papers(both: Both) -> Iterator[tuple[str, Collection[str]]]:
    titles = both.new.title, both.old.title
    if titles[0] is not None and titles[1] is not None and _is_same(titles[0].brand, titles[1].brand):
        yield "title", tuple(both.take_over(("title",), ("state",)))
    if both.new.recalls is None or both.old.recalls is None:
        return
    for place, recall in enumerate(both.new.recalls.open):
        for then, before in enumerate(both.old.recalls.open):
            if share_words(recall.what, before.what):
                path: Path = ("recalls", "open", place)
                kept = both.take_over(path, ("reference", "remedy"), ("recalls", "open", then))
                yield f"recalls.open[{place + 1}]", tuple(kept)


def _tires(both: Both) -> Iterator[tuple[str, Collection[str]]]:
    yield "tires", tuple(both.take_over(("tires",), OF_ALL_TIRES))
    for wheel in Wheel:
        now, before = both.new.tires.at(wheel), both.old.tires.at(wheel)
        if now is not None and before is not None and is_same_tire(now, before):
            yield f"tires.{wheel}", tuple(both.take_over(("tires", wheel.value), OF_A_TIRE))


def is_same_tire(now: Tire, before: Tire) -> bool:
    """Return whether both inspections read the same date code, so that it is the same tire."""
    code = now.date_code
    return code is not None and code.isdigit() and code == before.date_code


def _brakes(both: Both) -> Iterator[tuple[str, Collection[str]]]:
    for wheel in ON_THE_GROUND:
        now, before = both.new.brakes.at(wheel), both.old.brakes.at(wheel)
        if now is None or before is None or not is_same_brake(now, before):
            continue
        if not _was_renewed(both, f"brakes.{wheel}"):
            of_its_kind = [key for key in OF_A_BRAKE if key in type(now).model_fields]
            yield f"brakes.{wheel}", tuple(both.take_over(("brakes", wheel.value), of_its_kind))


def is_same_brake(now: Brake, before: Brake) -> bool:
    """Return whether nothing suggests new parts: the kind is the same, and no thickness increased."""
    linings = before.linings(), now.linings()
    if any(linings[1][place] > linings[0][place] for place in linings[0].keys() & linings[1].keys()):
        return False
    if isinstance(now, DiscBrake) and isinstance(before, DiscBrake):
        return not _is_more(now.rotor, before.rotor)
    return isinstance(now, DrumBrake) and isinstance(before, DrumBrake) and not _is_more(before.drum, now.drum)


def _is_more(one: Depth | None, other: Depth | None) -> bool:
    return one is not None and other is not None and one.millimetres > other.millimetres + ANOTHER_PLACE


def _battery_and_fluids(both: Both) -> Iterator[tuple[str, Collection[str]]]:
    batteries = both.new.battery, both.old.battery
    if batteries[0] is not None and batteries[1] is not None and not _was_renewed(both, "battery"):
        rated = batteries[0].rated, batteries[1].rated
        if rated[0] is None or rated[1] is None or rated[0] == rated[1]:
            yield "battery", tuple(both.take_over(("battery",), ("rated", "fitted_on")))
    if both.new.brake_fluid is not None and not _was_renewed(both, "services.brake_fluid"):
        yield "brake_fluid", tuple(both.take_over(("brake_fluid",), ("grade",)))


def _was_renewed(both: Both, part: str) -> bool:
    """Return whether work or a service since the previous inspection renewed a part."""
    since = both.old.inspection.done_on
    works = (work for record in (both.new, both.old) for work in record.work_done if work.on > since)
    renewed = {name for work in works for name in work.renews}
    for service in (*both.new.services, *both.old.services):
        if service.done_on is not None and service.done_on.latest > since:
            renewed.add(f"services.{service.service}")
    return any(part == name or part.startswith(f"{name}.") for name in renewed)


def _checks(both: Both) -> Iterator[tuple[str, Collection[str]]]:
    """Link a check that needs attention again to its earlier defect, if that is listed again."""
    listed = {flaw.before.id for flaw in both.flaws if flaw.before is not None}
    for point, check in both.new.checks.items():
        before = both.old.checks.get(point)
        if not isinstance(before, CheckNote) or before.defect not in listed:
            continue
        if CheckResult.ATTENTION is check_result(check) is before.finding:
            if isinstance(check, CheckNote):
                if check.defect is None:
                    yield f"checks.{point}", tuple(both.take_over(("checks", point), ("defect",)))
            else:
                both.writing.put(("checks", point), f"{{finding: attention, defect: {before.defect}}}")
                yield f"checks.{point}", ("defect",)


def _lists(both: Both) -> Iterator[tuple[str, Collection[str]]]:
    """Keep the entries of lists that the new record also has.

    A list that the new record lacks is copied as text elsewhere. `additions: none` is kept as stated, and `history`
    must explain it if there were additions before.
    """
    for key in LISTS:
        now, before = getattr(both.new, key), getattr(both.old, key)
        if both.has((key,)) and (now or key != "additions"):
            yield from _added((key,), [place for place, thing in enumerate(before) if thing not in now], both)
    has, lacks = both.new.equipment.has, both.new.equipment.lacks
    for key in ("has", "lacks"):
        before = getattr(both.old.equipment, key)
        missing = [
            place for place, one in enumerate(before) if not any(share_words(one, other) for other in (*has, *lacks))
        ]
        if both.has(("equipment",)):
            yield from _added(("equipment", key), missing, both)


def _added(path: Path, missing: Sequence[int], both: Both) -> Iterator[tuple[str, Collection[str]]]:
    """Append the old record's entries that the new list lacks."""
    nodes = [both.had((*path, place)) for place in missing]
    if nodes:
        both.writing.add(path, [flow_of(node) for node in nodes if node is not None])
        yield ".".join(map(str, path)), (f"{len(nodes)} from before",)


def _defects(both: Both) -> Iterator[tuple[str, Collection[str]]]:
    then = {defect.id: place for place, defect in enumerate(both.old.defects)}
    for place, flaw in enumerate(both.flaws):
        if flaw.before is None or flaw.id not in then:
            continue
        path: Path = ("defects", place)
        before: Path = ("defects", then[flaw.id])
        affects_the_same = flaw.defect.affects is flaw.before.affects
        kept = list(both.take_over(path, ("count", "done", *(("because",) if affects_the_same else ())), before))
        photos = flaw.before.photos
        missing = [
            number
            for number, photo in enumerate(photos)
            if not any(share_words(photo.shows, other.shows) for other in flaw.defect.photos)
        ]
        pictures = [node for number in missing if (node := both.had((*before, "photos", number))) is not None]
        if pictures:
            both.writing.add((*path, "photos"), [_without_card(photo) for photo in pictures])
            kept.append(f"photos: {len(pictures)} from before")
        yield f"defects.{flaw.id}", tuple(kept)


def _without_card(photo: yaml.Node) -> str:
    """Return a photo of a defect without its card and span, which measured the size on another day."""
    if not isinstance(photo, yaml.MappingNode):
        return flow_of(photo)
    kept = [(name, value) for name, value in photo.value if name.value not in ("card", "span")]
    return flow_of(yaml.MappingNode(photo.tag, kept, flow_style=True))


def _photos(both: Both) -> Iterator[tuple[str, Collection[str]]]:
    """Append the old photos whose text no new photo has."""
    now = both.new.photos
    missing = [
        place
        for place, photo in enumerate(both.old.photos)
        if not any(share_words(photo.shows, other.shows) for other in now)
    ]
    if both.has(("photos",)):
        yield from _added(("photos",), missing, both)


def _is_same(one: object, other: object) -> bool:
    both_texts = isinstance(one, LocalizedText) and isinstance(other, LocalizedText)
    return share_words(one, other) if both_texts else one == other  # type: ignore[arg-type]
