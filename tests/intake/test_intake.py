"""Creating a store and adding vehicles: nothing is stated that nobody entered, and nothing is added partly.

Sources: RFC 4180 (the table), 49 CFR 565.15 (the model year).
"""

from __future__ import annotations

import io
import zipfile
from datetime import date
from decimal import Decimal

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


def test_a_new_store_is_valid_and_says_that_it_is_an_example(store):
    read, problems = read_store(store, TODAY)
    assert read.settings.demo
    assert [problem.found for problem in problems][1:] == ["no vehicle"]
    assert problems[0].found.startswith("28 from memory")
    assert {page.language for page in read.own_pages} == {"en", "es"}


def test_existing_files_are_never_overwritten(tmp_path, capsys):
    (tmp_path / "site.yaml").write_text("mine", "utf-8")
    assert main(["start", str(tmp_path)]) == 1
    assert (tmp_path / "site.yaml").read_text("utf-8") == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["site.yaml"]
    assert "site.yaml" in capsys.readouterr().err


def test_a_new_record_states_only_entered_values(store):
    assert take_in(store) == 0
    read, problems = read_store(store, TODAY)
    record = read.vehicles[0].record
    assert [problem.where for problem in problems] == ["prices"], (
        "the guessed prices of a new store, and nothing else"
    )
    assert (record.vehicle.year, record.status) == (2018, Status.PREPARING)
    assert set(record.checks.values()) == {CheckResult.NOT_CHECKED}
    assert "charge_port" not in record.checks
    assert (record.title, record.recalls, record.battery, record.tires.left_front, record.price) == (None,) * 5


def test_photos_are_numbered_by_time_taken(store, tmp_path):
    (tmp_path / "phone").mkdir()
    for name, hour in (("A.JPG", "11"), ("B.jpg", "09")):
        exif = Image.Exif()
        exif.get_ifd(0x8769)[0x9003] = f"2026:10:04 {hour}:00:00"
        Image.new("RGB", (8, 8), (0, 0, int(hour))).save(tmp_path / "phone" / name, exif=exif)
    assert take_in(store, "--photos", str(tmp_path / "phone")) == 0
    copies = store / "vehicles" / "K900" / "photos"
    assert (copies / "photo-01.jpg").read_bytes() == (tmp_path / "phone" / "B.jpg").read_bytes()
    assert (copies / "photo-02.jpg").read_bytes() == (tmp_path / "phone" / "A.JPG").read_bytes()


def test_an_existing_vehicle_cannot_be_added_again(store, capsys):
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
def test_entered_values_are_checked_and_cannot_inject_keys(store, capsys, option, value, told):
    code = take_in(store, option, value)
    output = capsys.readouterr()
    assert told in output.out + output.err
    assert (store / "vehicles" / "K900").exists() is (code == 0)
    assert not list((store / "vehicles").glob(".coming-in*"))


def test_a_table_adds_all_vehicles_or_none(store, tmp_path, capsys):
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


def test_no_error_in_a_table_hides_another(store, tmp_path, capsys):
    """Some errors of a row, such as a day or check digit, show only when the other values are valid."""
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


def test_where_check_digits_are_optional_a_vin_without_one_is_accepted(store, capsys):
    """49 CFR 565.15(c) applies in the United States. Elsewhere such a VIN gives no model year, so it is entered."""
    settings = store / "site.yaml"
    settings.write_text(settings.read_text("utf-8").replace("region: us", "region: gb"), "utf-8")
    assert take_in(store, "--vin", "00ZWA5H47JD000101") == 1
    assert "the VIN 00ZWA5H47JD000101 tells no model year: say it (year)" in capsys.readouterr().err
    assert take_in(store, "--vin", "00ZWA5H47JD000101", "--year", "2018") == 0


def test_photos_in_a_zip_are_copied_like_a_folder(store, tmp_path):
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


def test_a_zip_without_photos_adds_nothing(store, tmp_path, capsys):
    zipped = tmp_path / ("a-folder-with-a-long-name" * 5) / "phone.zip"
    zipped.parent.mkdir()
    with zipfile.ZipFile(zipped, "w") as packed:
        packed.writestr("a.jpg", b"")
        packed.writestr("list.xlsx", b"")
    assert take_in(store, "--photos", str(zipped)) == 1
    assert f"{zipped}: list.xlsx is no photo" in capsys.readouterr().err
    assert not list((store / "vehicles").iterdir())


def test_a_table_is_read_as_spreadsheets_write_it(store, tmp_path):
    """Byte-order mark, semicolons, headers and fixed words in any case, usual names, a price and a status."""
    table = tmp_path / "new.csv"
    header = "\ufeffStock No.;VIN;Mileage;Date;Make;Model;Body Style;Drivetrain;Fuel Type;Sale Terms;Price;STATUS\r\n"
    row = "K900;00ZWA5H48JD000101;64,000 mi;2026-10-04;Brevik;Fjordline;SUV;AWD;Gas;AS-IS;12,900;For Sale\r\n"
    table.write_bytes((header + row + ";;;;;;;;;;;\r\n").encode())
    assert main(["intake", str(store), "--from", str(table)]) == 0
    (vehicle,) = read_store(store, TODAY)[0].vehicles
    record = vehicle.record
    assert (record.vehicle.body, record.vehicle.drive, record.sale_terms) == ("suv", "awd", "as is")
    assert record.price == Decimal(12_900)
    assert record.status is Status.FOR_SALE


def test_the_mistakes_behind_a_row_that_cannot_be_read_are_reported_too(store, tmp_path, capsys):
    table = tmp_path / "new.csv"
    table.write_text(HEADER.replace("odometer", "odometre") + ROW, "utf-8")
    assert main(["intake", str(store), "--from", str(table)]) == 1
    assert "did you mean odometer?" in capsys.readouterr().err
    bad_quote = OTHER_ROW.replace('"64,000 mi"', '"64,000" mi')
    table.write_text(HEADER + ROW.replace("as is", "as is,more") + bad_quote + ROW, "utf-8")
    assert main(["intake", str(store), "--from", str(table)]) == 1
    told = capsys.readouterr().err
    assert "line 2: more fields" in told
    assert "line 3: this is no row as RFC 4180 has it" in told
    assert "line 4: the stock number K900 is also on line 2" in told
    table.write_bytes((HEADER + ROW).encode("utf-16"))
    assert main(["intake", str(store), "--from", str(table)]) == 1, "a fault of a file, as documented"
