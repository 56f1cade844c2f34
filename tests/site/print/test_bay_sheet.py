"""The bay sheet on paper: every point of the walk once, the region's units, the cautions, and room to write.

What it asks for is compared with `check_points.yaml` itself, and what is printed is read back with poppler.
"""

from __future__ import annotations

import re
from pathlib import Path

import polib
import pytest
import yaml

from sitegen.shared_data import content_folder
from tests.builders import write_store
from tests.conftest import run_sitegen
from tests.site.print.printing import has_ink_near_an_edge, pages_of, pictures_of, plain, text_of

LISTS = yaml.safe_load((content_folder() / "reference" / "walk_lists.yaml").read_text("utf-8"))
PAPERS = ("Letter", "A4")
VAN = {"stock": "K901", "vehicle": {"body": "cargo van", "drive": "rwd", "fuel": "electric", "model": "Haulier Long"}}


def words(language: str) -> dict[str, str]:
    """Return all messages of the sheet and of what it names, by key."""
    files = ("print/bay_sheet.po", "vehicle/disclosure.po")
    return {entry.msgid: entry.msgstr for file in files for entry in polib.pofile(content_folder() / language / file)}


@pytest.fixture(scope="module")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the sheets of a store of two languages, blank and for an electric van."""
    store = write_store(tmp_path_factory.mktemp("bay") / "store", [VAN], {"languages": ["en", "es"]})
    for stock in ([], ["K901"]):
        written = run_sitegen("sheet", store, *stock)
        assert written.returncode == 0, written.stderr
    return store / "desk" / "bay_sheets"


def printed(open_page, sheet: Path, paper: str, folder: Path) -> Path:
    pdf = folder / f"{sheet.stem}-{paper}.pdf"
    page = open_page(sheet.as_uri())
    page.pdf(path=pdf, format=paper)
    page.close()
    return pdf


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("name", "language"), [("blank.en", "en"), ("K901.es", "es")])
def test_a_bay_sheet_holds_the_walk_the_cautions_and_the_units_on_two_sheets_of_paper(
    sheets, open_page, tmp_path, name, language, paper
):
    pdf = printed(open_page, sheets / f"{name}.html", paper, tmp_path)
    assert pages_of(pdf) == 4
    assert not any(has_ink_near_an_edge(picture, 18) for picture in pictures_of(pdf, 72))
    text, say = plain(text_of(pdf)), words(language)
    for caution in ("jack", "hot", "dust", "high_voltage", "airbag"):
        assert plain(say[f"bay_sheet.caution.{caution}"]) in text
    assert text.count("/32 in") == 15
    assert text.count("psi") == 5
    assert text.count("µm") == len(LISTS["panels"])
    equipment = polib.pofile(content_folder() / language / "bay_choices.po")
    named = {entry.msgid.removeprefix("equipment."): entry.msgstr for entry in equipment}
    assert all(plain(named[piece]) in text for piece in LISTS["equipment"])
    assert "4 / 4" in text


def points_of(sheet: Path) -> list[str]:
    """Return the check points of a sheet as it stands, in order."""
    found = re.findall(r'<th scope="row">([^<]+?)(?: <abbr|</th>)', sheet.read_text("utf-8"))
    known = {value for key, value in words("en").items() if key.startswith("point.")}
    return [point for point in found if point in known]


def test_a_blank_sheet_has_every_point_and_a_vehicles_sheet_those_that_apply(sheets):
    points = yaml.safe_load((content_folder() / "reference" / "check_points.yaml").read_text("utf-8"))
    say = words("en")
    blank, van = points_of(sheets / "blank.en.html"), points_of(sheets / "K901.en.html")
    assert sorted(blank) == sorted(say[f"point.{key}"] for key in points)
    lacking = {
        say[f"point.{key}"] for key in ("engine_leaks", "exhaust", "fuel_filler", "folding_roof", "driveshaft")
    }
    assert not lacking & set(van)
    assert {say["point.high_voltage_cables"], say["point.charge_port"], say["point.sliding_doors"]} <= set(van)
    assert van == [point for point in blank if point in van]


def test_a_bay_sheet_shows_the_vehicles_identity_and_no_findings(sheets):
    text = (sheets / "K901.en.html").read_text("utf-8")
    assert "Haulier Long" in text
    assert "K901" in text
    assert "".join(re.findall(r"<li>(\w)</li>", text)) == "00ZWA5H48JD000101"
    assert "checked" not in re.sub(r"not checked", "", text)


def test_an_unknown_stock_number_is_reported_and_nothing_is_written(sheets, tmp_path):
    told = run_sitegen("sheet", sheets.parent.parent, "K999", "--to", tmp_path / "out")
    assert told.returncode == 2
    assert "there is no vehicle 'K999'" in told.stderr
    assert "K901" in told.stderr
    assert not (tmp_path / "out").exists()
