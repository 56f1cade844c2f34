"""A store begins, and vehicles come in: what nobody said is not stated, and nothing is half made.

Source of the table's form: RFC 4180. Source of the model year: 49 CFR 565.15.
"""

from __future__ import annotations

import io
import zipfile
from datetime import date

import pytest
from PIL import Image

from sitegen.commands import main
from sitegen.reading.store import read_store
from sitegen.records.disclosure import CheckResult
from sitegen.records.vehicle import Status

TODAY = date(2026, 11, 25)
HEADER = "stock,vin,odometer,on,make,model,body,drive,fuel,terms\n"
ROW = 'K900,00ZWA5H48JD000101,"64,000 mi",2026-10-04,Brevik,Fjordline,suv,awd,gas,as is\n'
OTHER_ROW = ROW.replace("K900", "K901").replace("00ZWA5H48JD000101", "00ZWA5H4XJD000102")


@pytest.fixture
def store(tmp_path):
    assert main(["start", str(tmp_path / "store")]) == 0
    return tmp_path / "store"


def take_in(store, *more: str) -> int:
    said = {
        "--vin": "00ZWA5H48JD000101", "--odometer": "64,000 mi", "--on": "2026-10-04", "--make": "Brevik",
        "--model": "Fjordline", "--body": "suv", "--drive": "awd", "--fuel": "gasoline", "--terms": "as is",
    }  # fmt: skip
    return main(["intake", str(store), "K900", *(part for pair in said.items() for part in pair), *more])


def test_a_new_store_is_read_without_an_error_and_says_that_it_is_an_example(store):
    read, problems = read_store(store, TODAY)
    assert read.settings.demo
    assert [problem.found for problem in problems] == ["no vehicle"]
    assert {page.language for page in read.own_pages} == {"en", "es"}


def test_nothing_of_a_folder_is_written_over(tmp_path, capsys):
    (tmp_path / "site.yaml").write_text("mine", "utf-8")
    assert main(["start", str(tmp_path)]) == 1
    assert (tmp_path / "site.yaml").read_text("utf-8") == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["site.yaml"]
    assert "site.yaml" in capsys.readouterr().err


def test_a_vehicle_comes_in_with_nothing_stated_that_nobody_said(store):
    assert take_in(store) == 0
    read, problems = read_store(store, TODAY)
    record = read.vehicles[0].record
    assert problems == ()
    assert (record.vehicle.year, record.status) == (2018, Status.PREPARING)
    assert set(record.checks.values()) == {CheckResult.NOT_CHECKED}
    assert "charge_port" not in record.checks
    assert (record.title, record.recalls, record.battery, record.tires.left_front, record.price) == (None,) * 5


def test_photos_are_copied_in_the_order_in_which_they_were_taken(store, tmp_path):
    (tmp_path / "phone").mkdir()
    for name, hour in (("A.JPG", "11"), ("B.jpg", "09")):
        exif = Image.Exif()
        exif.get_ifd(0x8769)[0x9003] = f"2026:10:04 {hour}:00:00"
        Image.new("RGB", (8, 8), (0, 0, int(hour))).save(tmp_path / "phone" / name, exif=exif)
    assert take_in(store, "--photos", str(tmp_path / "phone")) == 0
    copies = store / "vehicles" / "K900" / "photos"
    assert (copies / "photo-01.jpg").read_bytes() == (tmp_path / "phone" / "B.jpg").read_bytes()
    assert (copies / "photo-02.jpg").read_bytes() == (tmp_path / "phone" / "A.JPG").read_bytes()


def test_a_vehicle_that_is_there_is_refused(store, capsys):
    assert take_in(store) == 0
    text = (store / "vehicles" / "K900" / "inspection.yaml").read_text("utf-8")
    assert take_in(store, "--make", "Norrin") == 1
    assert (store / "vehicles" / "K900" / "inspection.yaml").read_text("utf-8") == text
    assert "there is a vehicle K900 already" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("option", "value", "told"),
    [
        (
            "--vin",
            "00ZWA5H47JD000101",
            "vin: found 00ZWA5H47JD000101, with 7 in ninth place; expected the check digit 8",
        ),
        ("--odometer", "64000", "write the unit after the number"),
        ("--on", "10/14/2026", "write 2026-10-14"),
        ("--fuel", "petrol", "fuel: found petrol"),
        ("--make", 'a"\nstatus: sold', "K900 is in"),
        ("--on", "2026-10-04}\nsold_on: 2026-10-05 #", "nothing was taken in"),
        ("--year", "2017", "expected 2018"),
    ],
)
def test_what_was_said_is_checked_and_cannot_say_more_than_its_own(store, capsys, option, value, told):
    code = take_in(store, option, value)
    output = capsys.readouterr()
    assert told in output.out + output.err
    assert (store / "vehicles" / "K900").exists() is (code == 0)
    assert not list((store / "vehicles").glob(".coming-in*"))


def test_a_table_takes_in_all_of_its_vehicles_or_none(store, tmp_path, capsys):
    table = tmp_path / "new.csv"
    table.write_text(HEADER + ROW + OTHER_ROW.replace("Brevik", "") + OTHER_ROW.replace("K901", "K 9"), "utf-8")
    assert main(["intake", str(store), "--from", str(table)]) == 1
    told = capsys.readouterr().err
    assert "line 3: make is not given" in told
    assert "line 4: the stock number 'K 9'" in told
    assert not list((store / "vehicles").iterdir())
    table.write_text(HEADER + ROW + OTHER_ROW, "utf-8", newline="\r\n")
    assert main(["intake", str(store), "--from", str(table)]) == 0
    assert sorted(path.name for path in (store / "vehicles").iterdir()) == ["K900", "K901"]


def test_no_fault_of_a_table_hides_another(store, tmp_path, capsys):
    """A row has several faults, some of which can be judged only beside sound values: a day, the check digit."""
    assert take_in(store) == 0
    table = tmp_path / "new.csv"
    rows = (
        'K910,00ZWA5H47JD000101,"64,000 mi",2026-10-04,Brevik,Fjordline,suv,awd,petrol,as is\n',
        "K911,00ZWA5H4XJD000102,64000,10/04/2026,,Fjordline,suv,awd,gas,as is\n",
        'K912,00ZWA5H48JD000101,"64,000 mi",2039-10-04,Brevik,Fjordline,van,awd,gas,sold\n',
        "K913,too,few,fields\n",
        'K911,00ZWA5H4XJD000102,"64,000 mi",2026-10-04,Brevik,Fjordline,suv,all,gas,as is\n',
        ',,"64,000 mi",2026-10-04,Brevik,Fjordline,suv,awd,gas,as is\n',
        ',,"64,000 mi",2026-10-04,Brevik,Fjordline,suv,awd,gas,as is\n',
    )
    table.write_text(HEADER + "".join(rows), "utf-8")
    assert main(["intake", str(store), "--from", str(table)]) == 1
    told = capsys.readouterr().err
    for line, faults in {
        2: ("vin: found 00ZWA5H47JD000101, with 7 in ninth place", "fuel: found petrol"),
        3: ("make is not given", 'odometer: found "64000"', "on: found 10/04/2026"),
        4: (
            "body: found van",
            "terms: found sold",
            "on: found 2039-10-04",
            "the VIN 00ZWA5H48JD000101 is that of K900",
        ),
        5: ("fewer fields than the header has",),
        6: ("drive: found all", "there is a vehicle K911 already", "the VIN 00ZWA5H4XJD000102 is that of K911"),
        7: ("stock is not given", "vin is not given"),
        8: ("stock is not given", "vin is not given"),
    }.items():
        assert all(f"{table}: line {line}: {fault}" in told for fault in faults), told
    assert told.count(": line ") == 17, told
    assert [folder.name for folder in (store / "vehicles").iterdir()] == ["K900"]


def test_where_no_rule_asks_for_a_check_digit_a_vin_without_one_comes_in(store, capsys):
    """49 CFR 565.15(c) holds in the United States. Elsewhere such a VIN tells no model year, so the year is said."""
    settings = store / "site.yaml"
    settings.write_text(settings.read_text("utf-8").replace("region: us", "region: gb"), "utf-8")
    assert take_in(store, "--vin", "00ZWA5H47JD000101") == 1
    assert "the VIN 00ZWA5H47JD000101 tells no model year: say it (year)" in capsys.readouterr().err
    assert take_in(store, "--vin", "00ZWA5H47JD000101", "--year", "2018") == 0


def test_photos_come_out_of_a_zip_as_out_of_a_folder(store, tmp_path):
    with zipfile.ZipFile(tmp_path / "phone.zip", "w") as packed:
        for name, hour in (("Trip (1)/A.JPG", "11"), ("Trip (1)/B.jpg", "09")):
            photo, exif = io.BytesIO(), Image.Exif()
            exif.get_ifd(0x8769)[0x9003] = f"2026:10:04 {hour}:00:00"
            Image.new("RGB", (8, 8), (0, 0, int(hour))).save(photo, "JPEG", exif=exif)
            packed.writestr(name, photo.getvalue())
        packed.writestr("__MACOSX/Trip (1)/._A.JPG", b"not a photo")
    assert take_in(store, "--photos", str(tmp_path / "phone.zip")) == 0
    photos = store / "vehicles" / "K900" / "photos"
    with Image.open(photos / "photo-01.jpg") as first:
        assert first.getexif().get_ifd(0x8769)[0x9003].startswith("2026:10:04 09")
    assert sorted(path.name for path in photos.iterdir()) == ["photo-01.jpg", "photo-02.jpg"]


def test_a_zip_of_something_else_than_photos_takes_nothing_in(store, tmp_path, capsys):
    zipped = tmp_path / ("a-folder-with-a-long-name" * 5) / "phone.zip"
    zipped.parent.mkdir()
    with zipfile.ZipFile(zipped, "w") as packed:
        packed.writestr("a.jpg", b"")
        packed.writestr("list.xlsx", b"")
    assert take_in(store, "--photos", str(zipped)) == 1
    assert f"{zipped}: list.xlsx is no photo" in capsys.readouterr().err
    assert not list((store / "vehicles").iterdir())
