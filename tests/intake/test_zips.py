"""A vehicle in a zip is added completely, with its photos, or not at all. Nothing is written elsewhere.

Source of the zip format: ISO/IEC 21320-1:2015 and APPNOTE.TXT 6.3.10; composed in `hostile_zips.py`.
"""

from __future__ import annotations

import io
import random
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image

from sitegen.commands import main
from tests.intake.hostile_zips import DAMAGES, Entry, zip_of

DAMAGED = 500
RECORD = """\
stock: K910
status: preparing
vin: 00ZWA5H48JD000101
vehicle: {year: 2018, make: Brevik, model: Fjordline, body: suv, drive: awd, fuel: gasoline}
odometer: {reading: "64,000 mi", read_on: 2026-10-04}
sale_terms: as is
inspection: {done_on: 2026-10-04}
checks: {headlights: good}
photos:
  - {file: front.jpg, shows: Front seen from the left}
  - {file: rear.png, shows: Rear seen from the right}
"""


def a_photo(kind: str, shade: int) -> bytes:
    photo = io.BytesIO()
    Image.radial_gradient("L").point(lambda light: (light + shade) % 256).save(photo, kind)
    return photo.getvalue()


GOOD = (
    Entry(b"inspection.yaml", RECORD.encode()),
    Entry(b"photos/rear.png", a_photo("PNG", 9), method=0),
    Entry(b"photos/front.jpg", a_photo("JPEG", 50)),
)
WHOLE = {"inspection.yaml", "photos", "photos/rear.png", "photos/front.jpg"}


@pytest.fixture
def store(tmp_path):
    assert main(["start", str(tmp_path / "store")]) == 0
    return tmp_path / "store"


def everything_in(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*")}


def a_zip(tmp_path: Path, content: bytes, name: str = "K910.zip") -> str:
    (tmp_path / name).write_bytes(content)
    return str(tmp_path / name)


def test_record_and_photos_are_added_unchanged(store, tmp_path, capsys):
    packed = a_zip(tmp_path, zip_of(GOOD))
    with zipfile.ZipFile(packed) as read_by_another:
        assert read_by_another.testzip() is None
    assert main(["intake", str(store), packed]) == 0
    folder = store / "vehicles" / "K910"
    assert "K910 is in" in capsys.readouterr().out
    assert everything_in(folder) == WHOLE
    assert {(folder / entry.name.decode()).read_bytes() for entry in GOOD} == {entry.content for entry in GOOD}
    assert [path.name for path in (store / "vehicles").iterdir()] == ["K910"]


@pytest.mark.parametrize("there", ["K910", "k910"])
def test_an_existing_vehicle_is_refused_and_unchanged(store, tmp_path, capsys, there):
    (store / "vehicles" / there).mkdir()
    assert main(["intake", str(store), a_zip(tmp_path, zip_of(GOOD))]) == 1
    assert f"K910.zip: there is a vehicle {there} already; nothing of it was changed" in capsys.readouterr().err
    assert everything_in(store / "vehicles") == {there}


def test_a_vin_that_another_vehicle_has_is_refused(store, tmp_path, capsys):
    assert main(["intake", str(store), a_zip(tmp_path, zip_of(GOOD))]) == 0
    again = Entry(b"inspection.yaml", RECORD.replace("K910", "K911").encode())
    assert main(["intake", str(store), a_zip(tmp_path, zip_of([again, *GOOD[1:]]))]) == 1
    assert "K910.zip: the VIN 00ZWA5H48JD000101 is that of K910 already" in capsys.readouterr().err
    assert [path.name for path in (store / "vehicles").iterdir()] == ["K910"]


def test_every_problem_has_its_place_in_the_zip(store, tmp_path, capsys):
    wrong = RECORD.replace("64,000 mi", "64,000").replace("headlights", "haedlights").replace("rear.png", "side.png")
    content = zip_of([Entry(b"inspection.yaml", wrong.encode()), GOOD[1], Entry(b"photos/front.jpg", b"GIF89a")])
    assert main(["intake", str(store), a_zip(tmp_path, content)]) == 1
    told = capsys.readouterr().err
    assert "K910.zip/inspection.yaml:5:21: odometer.reading: found 64,000; expected" in told
    assert 'K910.zip/inspection.yaml:8:10: checks.haedlights: found the key "haedlights"' in told
    assert "K910.zip/inspection.yaml:11:12: photos[2].file: found side.png, which is not there" in told
    assert "K910.zip/photos/front.jpg: found a file that is no photo" in told
    assert "nothing was taken in" in told
    assert not everything_in(store / "vehicles")


def test_a_warning_is_reported_and_does_not_block(store, tmp_path, capsys):
    unnamed = Entry(b"photos/more.jpg", a_photo("JPEG", 90))
    assert main(["intake", str(store), a_zip(tmp_path, zip_of([*GOOD, unnamed]))]) == 0
    assert "K910.zip/photos/more.jpg: warning: found a photo that is not used" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("damage", "told"),
    [
        ("upward", "that could lead out of its folder"),
        ("link", "photos/front.jpg is a link, a device or a folder under a file's name"),
        ("encrypted", "photos/front.jpg is encrypted: save the zip without a password"),
        ("twice", "stands there twice"),
        ("twins", "stands there twice, also as"),
        ("one over another", "lies over another file of the zip"),
        ("no record", "it holds no inspection.yaml: save it from the bay page"),
        ("nothing", "it is no zip, or it was cut short: save or send it again"),
        ("crc", "it is damaged (Bad CRC-32 for file 'photos/front.jpg')"),
    ],
)
def test_zip_errors_are_described_in_plain_words(store, tmp_path, capsys, damage, told):
    assert main(["intake", str(store), a_zip(tmp_path, DAMAGES[damage](random.Random(2), GOOD))]) == 1
    assert told in capsys.readouterr().err


def hostile() -> Iterator[tuple[str, bytes]]:
    kinds = list(DAMAGES)
    for number in range(DAMAGED):
        kind = kinds[number % len(kinds)]
        yield f"{kind}, {number}", DAMAGES[kind](random.Random(number), GOOD)


def test_500_hostile_zips_write_nothing_outside_and_nothing_partial(store, tmp_path, capsys):
    vehicles, packed = store / "vehicles", tmp_path / "K910.zip"
    packed.write_bytes(b"")
    before = everything_in(tmp_path)
    wrong: list[str] = []
    taken_in = 0
    for name, content in hostile():
        packed.write_bytes(content)
        code = main(["intake", str(store), str(packed)])
        told = capsys.readouterr()
        came = everything_in(tmp_path) - before
        if code == 0:
            taken_in += 1
            stocks = [path.name for path in vehicles.iterdir()]
            left = {path.removeprefix(f"store/vehicles/{stocks[0]}").lstrip("/") for path in came} - {""}
            if len(stocks) != 1 or not WHOLE - {"photos/front.jpg", "photos/rear.png"} <= left:
                wrong.append(f"{name}: {came}")
            shutil.rmtree(vehicles / stocks[0])
        elif code != 1 or came or "K910.zip" not in told.err or "nothing was taken in" not in told.err:
            wrong.append(f"{name}: {code}, {came}, {told.err[:300]}")
        if any(not sign.isprintable() for sign in told.err.replace("\n", "")):
            wrong.append(f"{name}: a sign that acts on a terminal: {told.err[:300]!r}")
    assert not wrong
    assert taken_in < DAMAGED / 10


def test_a_traceback_is_never_shown(store, tmp_path):
    """The command in its own process: a damaged zip prints a message and nothing else."""
    packed = a_zip(tmp_path, DAMAGES["bomb"](random.Random(1), GOOD))
    told = subprocess.run([sys.executable, "-m", "sitegen", "intake", store, packed], capture_output=True, text=True)
    assert told.returncode == 1
    assert told.stderr.splitlines()[-1] == "sitegen: nothing was taken in"
    assert all(line.startswith("sitegen: ") for line in told.stderr.splitlines())


def test_a_zip_needs_no_other_options(store, tmp_path, capsys):
    assert main(["intake", str(store), a_zip(tmp_path, zip_of(GOOD)), "--make", "Brevik"]) == 2
    assert "leave out --make" in capsys.readouterr().err


def test_a_new_store_publishes_a_vehicle_from_a_zip(store, tmp_path):
    """From an empty folder to a page in three commands, with no file written by hand."""
    assert main(["build", str(store)]) == 0
    for_sale = Entry(
        b"inspection.yaml", RECORD.replace("status: preparing", "status: for sale\nprice: $6,495").encode()
    )
    assert main(["intake", str(store), a_zip(tmp_path, zip_of([for_sale, *GOOD[1:]]))]) == 0
    assert main(["build", str(store), "--jobs", "1"]) == 0
    for page in ("index.html", "es/index.html", "vehicles/K910/index.html", "es/vehicles/K910/index.html"):
        assert (store / "published" / page).is_file()
