"""A zip of a vehicle that the store has: a later inspection, put in whole or not at all, no earlier value lost.

Zips come from the bay page's own scripts, run in node, where their form counts. Sources: none but the record itself:
what was entered must stand there, and what the earlier inspection says.
"""

from __future__ import annotations

import io
import random
import zipfile
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml
from PIL import Image

from sitegen import disk
from sitegen.commands import main
from sitegen.intake.adding import take_in_zip
from sitegen.intake.joining.joining import Inspected, joined
from sitegen.intake.joining.same_flaws import flaws
from sitegen.reading.store import read_vehicle_alone
from sitegen.reading.validation.record_files import read_file
from sitegen.records.vehicle_record import VehicleRecord
from tests.builders import a_vehicle, an_inspection, some_settings
from tests.pages.bay_entries import LEFT_TO_YAML, Entries, answers, some_entries, vocabulary_of

VEHICLE = """\
vin: 00ZWA5H48JD000101
vehicle: {year: 2018, make: Brevik, model: Fjordline, body: suv, drive: awd, fuel: gasoline}
"""
THEN = f"""\
stock: K910
status: for sale
# What we ask since October 10.
price: 13450
{VEHICLE}odometer: {{reading: "64,000 mi", read_on: 2026-10-04}}
sale_terms: implied warranties only
inspection: {{done_on: 2026-10-04, at: "64,000 mi"}}
tires:
  left_front: {{date_code: "2423", tread: {{inner: 6/32 in}}, fitted_at: "40,000 mi", new_tread: 10/32 in}}
  right_front: {{date_code: "2423", tread: {{inner: 6/32 in}}, fitted_at: "40,000 mi"}}
checks: {{headlights: good, horn: attention}}
work_done:
  - {{what: Changed the oil., on: 2026-09-28}}  # the bill is in the folder
photos:
  - {{file: front.jpg, shows: Front seen from the left}}
history:
  - {{on: 2026-10-10, what: "Asked less, as it stood."}}
"""
NOW = f"""\
stock: K910
status: preparing
{VEHICLE}odometer: {{reading: "65,200 mi", read_on: 2026-11-02}}
sale_terms: as is
inspection: {{done_on: 2026-11-02, at: "65,200 mi"}}
tires:
  left_front:
    date_code: "2423"
    tread: {{inner: 5/32 in}}
  right_front: {{date_code: "3126", tread: {{inner: 9/32 in}}}}
checks: {{headlights: good}}
photos:
  - {{file: front.jpg, shows: Front in the rain}}
  - {{file: same.jpg, shows: The side}}
"""


def a_photo(shade: int) -> bytes:
    photo = io.BytesIO()
    Image.new("RGB", (640, 480), (shade, 90, 40)).save(photo, "JPEG")
    return photo.getvalue()


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795262400")
    store = tmp_path / "store"
    assert main(["start", str(store)]) == 0
    folder = store / "vehicles" / "K910"
    (folder / "photos").mkdir(parents=True)
    (folder / "inspection.yaml").write_text(THEN, "utf-8")
    (folder / "photos" / "front.jpg").write_bytes(a_photo(10))
    (folder / "photos" / "same.jpg").write_bytes(a_photo(99))
    return store


def zip_of(tmp_path: Path, record: str, photos: Mapping[str, bytes] | None = None) -> str:
    packed = tmp_path / "K910.zip"
    with zipfile.ZipFile(packed, "w") as archive:
        for name, photo in (photos or {}).items():
            archive.writestr(name, photo)
        archive.writestr("inspection.yaml", record)
        archive.writestr("photos/front.jpg", a_photo(200))
        archive.writestr("photos/same.jpg", a_photo(99))
    return str(packed)


def files_of(folder: Path) -> dict[str, bytes]:
    return {str(file.relative_to(folder)): file.read_bytes() for file in folder.rglob("*") if file.is_file()}


def record_of(file: Path) -> VehicleRecord:
    reading = read_file(VehicleRecord, file, "inspection.yaml")
    assert reading.record is not None, reading.problems
    return reading.record


def test_the_old_record_is_kept_and_the_stores_values_are_copied(store, tmp_path, capsys):
    folder = store / "vehicles" / "K910"
    before = files_of(folder)
    assert main(["intake", str(store), zip_of(tmp_path, NOW)]) == 0
    after, told = files_of(folder), capsys.readouterr()
    assert after.pop("inspections/2026-10-04.yaml") == THEN.encode()
    assert "Kept from the store's record: status, price, sale_terms, history, work_done." in told.out
    assert "nothing of checks.horn, noted on 2026-10-04" in told.err
    written = after.pop("inspection.yaml").decode()
    del before["inspection.yaml"]
    assert after == {**before, "photos/2026-11-02-front.jpg": a_photo(200)}, (
        "no photo is lost, none stands there twice"
    )
    assert "# the bill is in the folder" in written
    now = record_of(folder / "inspection.yaml")
    assert (str(now.price), str(now.status)) == ("13450", "for sale")
    assert str(now.sale_terms) == "implied warranties only"
    assert [photo.file for photo in now.photos] == ["2026-11-02-front.jpg", "same.jpg", "front.jpg"]
    left, right = now.tires.left_front, now.tires.right_front
    assert (left.fitted_at.written, left.new_tread.written) == ("40,000 mi", "10/32 in"), "it is the same tire"
    assert right.fitted_at is None, "it is another"


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("00ZWA5H48JD000101", "00ZWA5H4XJD000102", "is not that of K910"),
        ("2026-11-02", "2026-10-04", "is not later than that of 2026-10-04"),
        ("65,200 mi", "63,000 mi", "expected at least 64,000 mi, the reading of"),
        ("5/32 in", "5/23 in", "tires.left_front.tread.inner"),
    ],
)
def test_an_error_is_reported_and_changes_nothing(store, tmp_path, capsys, old, new, told):
    before = files_of(store)
    assert main(["intake", str(store), zip_of(tmp_path, NOW.replace(old, new))]) == 1
    assert told in capsys.readouterr().err
    assert files_of(store) == before


@pytest.mark.parametrize("writes", range(1, 4))
def test_an_interrupted_intake_is_completed_by_the_next(store, tmp_path, monkeypatch, writes):
    """Ended before the photo, the earlier inspection or the record is written, and nothing is cleared up."""
    folder, whole, count = store / "vehicles" / "K910", disk.write_whole, 0

    def ended(target: Path, content: bytes, *, lasting: bool = False) -> None:
        nonlocal count
        count += 1
        if count == writes:
            raise KeyboardInterrupt
        whole(target, content, lasting=lasting)

    with monkeypatch.context() as patched:
        patched.setattr(disk, "write_whole", ended)
        with pytest.raises(KeyboardInterrupt):
            looking_again_by_hand(store, tmp_path)
    assert record_of(folder / "inspection.yaml").inspection.done_on.isoformat() == "2026-10-04"
    left, told = read_vehicle_alone(folder, "inspection.yaml", some_settings(), date(2026, 11, 21))
    assert left is not None, told
    assert main(["intake", str(store), zip_of(tmp_path, NOW)]) == 0
    assert set(files_of(folder)) == {
        "inspection.yaml", "inspections/2026-10-04.yaml", "photos/front.jpg", "photos/same.jpg",
        "photos/2026-11-02-front.jpg",
    }  # fmt: skip


def looking_again_by_hand(store: Path, tmp_path: Path) -> None:
    """The same as the command does, without what the command makes of an interruption."""
    take_in_zip(store, Path(zip_of(tmp_path, NOW)), date(2026, 11, 21))


# Which flaw is which


def a_defect(name: str, kind: str = "dent", station: str = "left side", part: Any = "sill", **more: Any) -> Any:
    words = more.pop("words", f"{kind} here")
    where = {"station": station, "part": part}
    return {"id": name, "kind": kind, "where": where, "affects": "looks", "words": words, **more}


SETTLED = {"work_done": [{"what": "Pulled out.", "on": "2026-10-08", "settles": ["dent-1"]}]}
GONE = {"history": [{"on": "2026-10-08", "what": "It was dirt.", "about": ["defects.dent-1"]}]}
IDS = [
    # The page numbers anew: the same kind at the same place is the same flaw, whatever its number.
    ([a_defect("sill-dent")], [a_defect("dent-1")], {}, ["sill-dent"]),
    ([a_defect("dent-1"), a_defect("dent-2", part="door")], [a_defect("dent-1", part="Door")], {}, ["dent-2"]),
    ([a_defect("a", part={"en": "sill", "es": "estribo"})], [a_defect("dent-1", part={"es": "estribo"})], {}, ["a"]),
    # Another flaw has an id of its own, and never one that another had.
    ([a_defect("dent-1")], [a_defect("dent-1", part="door")], {}, ["dent-2"]),
    ([a_defect("dent-1"), a_defect("dent-2", part="door")], [a_defect("dent-1", part="roof")], {}, ["dent-3"]),
    ([a_defect("dent-1")], [a_defect("dent-1", part="door"), a_defect("dent-2")], {}, ["dent-3", "dent-1"]),
    ([], [a_defect("dent-1")], GONE, ["dent-2"]),
    # What was put right and stands there again is another one, for the work answers the first alone.
    ([a_defect("dent-1")], [a_defect("dent-1")], SETTLED, ["dent-2"]),
    # Two that could be one: nobody guesses, unless their words tell.
    ([a_defect("dent-1"), a_defect("dent-2", words="Long.")], [a_defect("dent-5", words="Other.")], {}, ["dent-5"]),
    ([a_defect("dent-1"), a_defect("dent-2", words="Long.")], [a_defect("dent-1", words="long")], {}, ["dent-2"]),
    # An id that somebody chose is their word, unless kind and place are both other.
    ([a_defect("sill")], [a_defect("sill", kind="surface rust")], {}, ["sill"]),
    ([a_defect("sill")], [a_defect("sill", kind="surface rust", station="rear")], {}, ["sill-2"]),
    ([a_defect("sill")], [a_defect("door")], {}, ["door"]),
]  # fmt: skip


@pytest.mark.parametrize(("before", "now", "more", "ids"), IDS, ids=str)
def test_a_defect_keeps_its_id_and_no_id_is_reused(before, now, more, ids):
    old, new = (a_vehicle(checks=..., defects=defects) for defects in (before, now))
    if more:
        old = a_vehicle(checks=..., defects=before, **more)
    found = flaws(new, old)
    assert [flaw.id for flaw in found] == ids
    told = " ".join(flaw.words or "" for flaw in found)
    assert all(one["id"] in told for one, name in zip(now, ids, strict=True) if name != one["id"])


def test_photos_checks_and_answers_follow_a_renamed_id(store, tmp_path, capsys):
    """The page's second zip numbers a new flaw as its first numbered another: photos and checks go with the flaw."""
    folder = store / "vehicles" / "K910"
    shown = "photos: [{file: dent-1-close.jpg, shows: A dent}]"
    rust = "{id: dent-1, kind: dent, where: 'left side, sill', affects: function, words: Old., done: left as it is, "
    with_old = THEN.replace("horn: attention", "hood_latch: {finding: attention, defect: dent-1}")
    (folder / "inspection.yaml").write_text(f"{with_old}defects:\n  - {rust}{shown}}}\n", "utf-8")
    (folder / "photos" / "dent-1-close.jpg").write_bytes(a_photo(30))
    new = (
        f"{NOW}defects:\n  - {{id: dent-1, kind: dent, where: 'rear, lid', affects: looks, words: New., {shown}}}\n"
        "  - {id: dent-2, kind: dent, where: 'left side, sill', affects: function, words: Still there.}\n"
    ).replace("headlights: good", "headlights: good, hood_latch: attention")
    packed = zip_of(tmp_path, new, {"photos/dent-1-close.jpg": a_photo(60)})
    assert main(["intake", str(store), packed]) == 0
    told = capsys.readouterr().out
    assert "Of the defects: dent-1 is dent-3 now, for that id is dent at the left side, sill" in told
    assert "Of the defects: dent-2 is dent-1 from before: the same kind at the same place." in told
    now = record_of(folder / "inspection.yaml")
    assert [(one.id, [photo.file for photo in one.photos]) for one in now.defects] == [
        ("dent-3", ["dent-3-close.jpg"]),
        ("dent-1", ["dent-1-close.jpg"]),
    ]
    assert (folder / "photos" / "dent-3-close.jpg").read_bytes() == a_photo(60)
    assert (folder / "photos" / "dent-1-close.jpg").read_bytes() == a_photo(30)
    assert str(now.defects[1].done) == "left as it is"
    assert now.checks["hood_latch"].defect == "dent-1"


# What still holds

EVERYTHING: Mapping[str, Any] = {
    "formerly": ["K909"], "not_for_road_use": True, "before_delivery": [{"what": "New wipers."}],
    "additions": [{"what": "Cargo tray", "stays": True}],
    "sale_terms": {"warranty": "30 days on the engine.", "kind": "limited"},
    "harmless": [{"words": "dead pedal", "because": "It is a foot rest."}],
    "walk_around": {"file": "a.webm", "captions": {"en": "a.vtt"}},
    "history": [{"on": "2026-10-10", "what": "More."}],
    "vehicle": {
        "battery_energy": "38 kWh", "liters": 2.0, "cylinders": 4, "front_axle_pounds": 2600,
        "rear_axle_pounds": 2700,
    },
    "title": {"brand": {"en": "Rebuilt", "es": "Reconstruido"}, "state": "Bellmere"},
    "recalls": {"open": [{"what": "Airbag inflator", "reference": "26V-1", "remedy": "New inflator"}]},
    "inspection": {"by": "our technician"},
    "tires": {"left_front": {"note": "Scuffed."}},
    "brakes": {
        "left_front": {"note": "Squeals.", "fitted_on": "2024-01"},
        "left_rear": {
            "kind": "drum", "shoes": {"leading": "4 mm"}, "drum": "228.6 mm", "bonded": True, "new_shoes": "5 mm",
            **dict.fromkeys(("pads", "rotor", "rotor_discard", "new_pads"), ...),
        },
    },
    "battery": {"note": "Clean."}, "brake_fluid": {"note": "Dark.", "boils_at": "210 °C"},
    "coolant": {"freezes_at": "-34 °F", "note": "Green."},
    "traction_battery": {"state_of_health": "90 %", "note": "Cold."},
    "paint": [{"panel": "hood", "readings": ["110 µm"], "note": "Once."}],
    "defects": [
        a_defect(
            "sill", count=3, done="Sealed.", size="6 cm", because="Only the paint is dented.",
            words={"en": "Three of them.", "es": "Tres."},
            photos=[
                {"file": "a.jpg", "shows": "Near", "mark": {"x": 0.1, "y": 0.1, "w": 0.2, "h": 0.2}},
                {"file": "b.jpg", "shows": "Far", "mark": {"x": 0.1, "y": 0.1, "from_x": 0.2, "from_y": 0.2}},
            ],
        )
    ],
}  # fmt: skip
TOLD_INSTEAD = {
    "inspection.by", "tires.*.note", "brakes.*.note", "battery.note", "brake_fluid.note", "coolant.note",
    "traction_battery.note", "paint.note", "brake_fluid.boils_at",
}  # fmt: skip
"""Of its day, and named; all else that the page does not ask for still holds, or is in what does."""


def test_keys_that_the_bay_page_lacks_are_copied_or_reported():
    vocabulary = vocabulary_of("us")
    old = an_inspection(**EVERYTHING, listed_on="2026-10-06", sold_on="2026-10-07")
    wheels = {wheel: {"date_code": "2423", "inner": "5/32 in"} for wheel in ("left_front", "right_front")}
    entries: Entries = {
        **{key: old[key] for key in ("stock", "vin")}, **{key: str(old["vehicle"][key]) for key in old["vehicle"]},
        "terms": "as is", "odometer": "65200", "read_on": "2026-11-02", "brand": "some", "brand_words": "rebuilt",
        "recalls": "some", "recalls_words": "Airbag inflator", "recalls_on": "2026-11-02",
        "tires": wheels,
        "brakes": {"left_front": {"kind": "disc", "inner": "7 mm"}, "left_rear": {"kind": "drum", "leading": "4 mm"}},
        "fluids": {"tested": "500", "moisture": "2"},
        "defects": [{"kind": "dent", "station": "left side", "part": "Sill", "affects": "looks",
                     "words": "Three of them."}],
    }  # fmt: skip
    (answer,) = answers([entries], vocabulary, "2026-11-25")
    text, told = told_of(answer["text"], old)
    keys = set(leaves(yaml.safe_load(text)))
    carried = {key for key in LEFT_TO_YAML if any(fits(key, one) for one in keys)}
    assert LEFT_TO_YAML - carried == TOLD_INSTEAD
    assert [key for key in TOLD_INSTEAD if not any(fits(key, one) for one in told)] == []
    now = yaml.safe_load(text)
    assert now["title"] == {"brand": EVERYTHING["title"]["brand"], "checked_on": "2026-11-02", "state": "Bellmere"}
    (defect,) = now["defects"]
    assert (defect["id"], defect["words"], defect["count"]) == ("sill", {"en": "Three of them.", "es": "Tres."}, 3)
    assert "size" not in defect
    assert "defects.sill.size" in told


def told_of(new: str, old: dict[str, Any]) -> tuple[str, set[str]]:
    """Return the joined text, and each key that is told not to be taken over."""
    now, then = (VehicleRecord.model_validate(one) for one in (yaml.safe_load(new), old))
    written = yaml.safe_dump(old, sort_keys=False, allow_unicode=True)
    found = joined(Inspected(new, now), Inspected(written, then), flaws(now, then), {}, ["en", "es"])
    told = set()
    for words in found.of_its_day:
        place, _, keys = words.removesuffix(")").partition(" (")
        told |= {f"{place}.{key}" for key in keys.split(", ")} if keys else set(leaves(old.get(place), place))
    return found.text, told


def leaves(value: Any, at: str = "") -> list[str]:
    """Return the path of every value of a record, without places in lists."""
    if isinstance(value, dict):
        return [one for key, inner in value.items() for one in leaves(inner, f"{at}.{key}".removeprefix("."))]
    if isinstance(value, list):
        return [at, *(one for inner in value for one in leaves(inner, at))]
    return [at]


def fits(key: str, path: str) -> bool:
    """Tell whether a path is of a key, in which * stands for a wheel, or of what that key holds."""
    steps, wanted = path.split("."), key.split(".")
    return len(steps) >= len(wanted) and all(step in ("*", one) for step, one in zip(wanted, steps, strict=False))


def test_random_second_inspections_keep_all_entries_and_ids():
    """By the roll of dice, two inspections of one vehicle."""
    vocabulary, dice = vocabulary_of("us"), random.Random(17)
    rolled = []
    for _ in range(10):
        one, two = some_entries(dice, vocabulary), some_entries(dice, vocabulary)
        same = {key: one[key] for key in ("stock", "vin", "year", "body", "drive", "fuel")}
        seen_again = [*two["defects"], *one["defects"][-1:]]
        rolled += [{**one, "read_on": "2026-10-04"}, {**two, **same, "defects": seen_again, "read_on": "2026-11-25"}]
    texts = [answer["text"] for answer in answers(rolled, vocabulary, "2026-11-25")]
    kept = 0
    for old, new in zip(texts[::2], texts[1::2], strict=True):
        then, now = (VehicleRecord.model_validate(yaml.safe_load(one)) for one in (old, new))
        noted = flaws(now, then)
        found = joined(Inspected(new, now), Inspected(old, then), noted, {}, ["en", "es"])
        record = VehicleRecord.model_validate(yaml.safe_load(found.text))
        assert (record.status, record.price) == (then.status, then.price if then.price is not None else now.price)
        assert is_within(without_names(yaml.safe_load(new)), yaml.safe_load(found.text))
        known = {one.id: one for one in then.defects}
        assert len({one.id for one in record.defects}) == len(record.defects)
        for defect in record.defects:
            was = known.get(defect.id)
            assert was is None or (was.kind, was.where) == (defect.kind, defect.where)
            kept += was is not None
    assert kept


def without_names(told: dict[str, Any]) -> dict[str, Any]:
    """Return what was entered, without what the store decides or names."""
    of_the_store = ("status", "price", "location", "sale_terms")
    defects = told.get("defects")
    if isinstance(defects, list):
        told = {**told, "defects": [{**one, "id": ...} for one in defects]}
    return {key: value for key, value in told.items() if key not in of_the_store}


def is_within(part: Any, whole: Any) -> bool:
    if part is ...:
        return True
    if isinstance(part, dict):
        return all(key in whole and is_within(value, whole[key]) for key, value in part.items())
    if isinstance(part, list) and isinstance(whole, list):
        return len(part) <= len(whole) and all(map(is_within, part, whole))
    return bool(part == whole) or (isinstance(whole, dict) and whole.get("finding") == part)
