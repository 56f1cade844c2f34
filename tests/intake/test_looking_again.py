"""A zip of a vehicle that the store has: a later inspection, put in whole or not at all, nothing lost of before."""

from __future__ import annotations

import io
import zipfile
from datetime import date
from pathlib import Path

import pytest
from PIL import Image

from sitegen import disk
from sitegen.commands import main
from sitegen.intake.taking_in import take_in_zip
from sitegen.reading.validation.record_files import read_file
from sitegen.records.vehicle_record import VehicleRecord

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


def zip_of(tmp_path: Path, record: str) -> str:
    packed = tmp_path / "K910.zip"
    with zipfile.ZipFile(packed, "w") as archive:
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


def test_the_old_record_is_kept_whole_and_what_is_the_store_s_is_taken_over_and_told(store, tmp_path, capsys):
    folder = store / "vehicles" / "K910"
    before = files_of(folder)
    assert main(["intake", str(store), zip_of(tmp_path, NOW)]) == 0
    after, told = files_of(folder), capsys.readouterr()
    assert after.pop("inspections/2026-10-04.yaml") == THEN.encode()
    assert "Still as the store's record has it: status, price, sale_terms, history, work_done." in told.out
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
    assert [photo.file for photo in now.photos] == ["2026-11-02-front.jpg", "same.jpg"]
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
def test_what_is_wrong_is_told_and_leaves_everything_as_it_was(store, tmp_path, capsys, old, new, told):
    before = files_of(store)
    assert main(["intake", str(store), zip_of(tmp_path, NOW.replace(old, new))]) == 1
    assert told in capsys.readouterr().err
    assert files_of(store) == before


@pytest.mark.parametrize("writes", range(1, 4))
def test_an_end_at_any_moment_leaves_the_old_record_and_the_next_intake_goes_on(store, tmp_path, monkeypatch, writes):
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
    assert main(["check", str(store)]) == 0
    assert main(["intake", str(store), zip_of(tmp_path, NOW)]) == 0
    assert set(files_of(folder)) == {
        "inspection.yaml", "inspections/2026-10-04.yaml", "photos/front.jpg", "photos/same.jpg",
        "photos/2026-11-02-front.jpg",
    }  # fmt: skip


def looking_again_by_hand(store: Path, tmp_path: Path) -> None:
    """The same as the command does, without what the command makes of an interruption."""
    take_in_zip(store, Path(zip_of(tmp_path, NOW)), date(2026, 11, 21))
