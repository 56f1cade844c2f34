"""Reading a whole store: every file is read, all problems are reported at once, and warnings do not block."""

from __future__ import annotations

import re
import shutil
from datetime import date

import pytest

from sitegen.reading.own_pages import read_own_pages
from sitegen.reading.store import read_store
from tests.builders import write_store
from tests.conftest import REPOSITORY
from tests.reading.texts import INSPECTION, SITE, TODAY, write_one

WITH_WORDS = " or ".join(
    sorted(folder.name for folder in (REPOSITORY / "content").iterdir() if any(folder.rglob("*.po")))
)
OTHER_VIN = "00ZSB2H74LD000202"


def told(folder, today: date = TODAY) -> list[str]:
    return [problem.as_line() for problem in read_store(folder, today)[1]]


def test_the_demo_store_is_valid():
    store, problems = read_store(REPOSITORY / "demo_site", date(2026, 11, 21))
    assert problems == ()
    assert [vehicle.record.stock for vehicle in store.vehicles] == [f"K10{number}" for number in range(1, 9)]
    assert [(page.slug, page.title, page.language) for page in store.own_pages] == [
        ("about", "About Ferrow Lane", "en"),
        ("how-we-inspect", "How we inspect", "en"),
        ("about", "Quiénes somos", "es"),
        ("how-we-inspect", "Cómo inspeccionamos", "es"),
    ]
    assert store.prices.prices["tire"].low == 120


def test_a_store_is_read_whole(tmp_path):
    write_store(tmp_path, pages={"about.md": "# About *us*\n\nWe measure.\n"}, settings={"languages": ["en"]})
    store, problems = read_store(tmp_path, TODAY)
    assert problems == ()
    (vehicle,) = store.vehicles
    assert (vehicle.folder, vehicle.inspection_file) == (
        tmp_path / "vehicles" / "K900",
        "vehicles/K900/inspection.yaml",
    )
    (page,) = store.own_pages
    assert (page.title, page.markdown) == ("About *us*", "We measure.\n")


def test_a_store_needs_no_price_list_and_no_pages(tmp_path):
    write_one(tmp_path, INSPECTION)
    store, problems = read_store(tmp_path, TODAY)
    assert problems == ()
    assert store.prices is None
    assert store.own_pages == ()


def test_an_unknown_theme_is_reported(tmp_path):
    write_one(tmp_path, INSPECTION, f"{SITE}theme: dayligth\n")
    assert told(tmp_path) == [
        "site.yaml:11:8: theme: found dayligth; expected a theme that sitegen has (daylight); "
        'to mend, did you mean "daylight"?'
    ]


def test_a_missing_folder_is_reported(tmp_path):
    store, (problem,) = read_store(tmp_path / "sotre", TODAY)
    assert store is None
    assert problem.as_line().endswith(
        "sotre: found no such folder; expected a store's folder, which holds site.yaml and vehicles/; "
        "to mend, check the path"
    )


def test_a_folder_without_a_store_is_reported(tmp_path):
    store, _ = read_store(tmp_path, TODAY)
    assert store is None
    assert told(tmp_path) == [
        "site.yaml: found no such file; expected a file of this name; "
        "to mend, write it, or check the spelling of its name",
        "vehicles: warning: found no vehicle; expected a folder for each vehicle, with its inspection.yaml; "
        "to mend, make one, named by its stock number",
    ]


def test_a_vehicle_without_inspection_is_reported(tmp_path):
    write_one(tmp_path, INSPECTION)
    (tmp_path / "vehicles" / "K901").mkdir()
    (tmp_path / "vehicles" / ".draft").mkdir()
    assert told(tmp_path) == [
        "vehicles/K901/inspection.yaml: found no such file; expected a file of this name; "
        "to mend, write it, or check the spelling of its name, "
        "or take the whole folder K901 away, if there is no such vehicle"
    ]


def test_only_an_optional_empty_file_may_be_deleted(tmp_path):
    """Each suggestion is tried: the file is deleted, and then the store has no such problem."""
    write_one(tmp_path, INSPECTION)
    (tmp_path / "vehicles" / "K901" / "photos").mkdir(parents=True)
    empty = {
        "services.yaml": "fill it in, or delete it",
        "vehicles/K900/visits/2026-10-20.yaml": "fill it in, or delete it",
        "vehicles/K901/inspection.yaml": (
            "fill it in, or take the whole folder K901 away, if there is no such vehicle"
        ),
    }
    for file in empty:
        (tmp_path / file).parent.mkdir(exist_ok=True)
        (tmp_path / file).write_text("", "utf-8")
    assert told(tmp_path) == [
        f"{file}:1:1: found an empty file; expected keys and values; to mend, {mend}" for file, mend in empty.items()
    ]
    (tmp_path / "services.yaml").unlink()
    (tmp_path / "vehicles/K900/visits/2026-10-20.yaml").unlink()
    shutil.rmtree(tmp_path / "vehicles" / "K901")
    assert told(tmp_path) == []
    (tmp_path / "site.yaml").write_text("", "utf-8")
    assert told(tmp_path) == ["site.yaml:1:1: found an empty file; expected keys and values; to mend, fill it in"]


def test_all_problems_of_all_files_are_reported_in_order(tmp_path):
    """One mistake in each file, and one between values that appears only when the others are ignored."""
    write_one(tmp_path, INSPECTION.replace("13450", "cheap").replace("2026-10-04}", "2026-12-04}"))
    (tmp_path / "site.yaml").write_text(SITE.replace("region: us", "region: usa"))
    (tmp_path / "services.yaml").write_text("prices: {engine_oil: 95-65}\n")
    (tmp_path / "pages").mkdir()
    (tmp_path / "pages" / "about.md").write_text("About us\n")
    assert told(tmp_path) == [
        "pages/about.md:1:1: found no heading; expected the page's title, as a line that begins with # and a space; "
        "to mend, write it as the first line",
        "services.yaml:1:22: prices.engine_oil: found 95-65; expected a price range (65-95), or one price (80); "
        "to mend, write the lower amount first: 65-95",
        'site.yaml:8:9: region: found usa; expected us, gb or eu; to mend, did you mean "us"?',
        "vehicles/K900/inspection.yaml:3:8: price: found cheap; "
        "expected an amount of money (13450 or 13450.50); "
        "to mend, write digits only, without a sign, a comma or a unit",
        "vehicles/K900/inspection.yaml:6:43: odometer.read_on: found 2026-12-04; "
        "expected a day up to today, 2026-11-25; to mend, check the year, the month and the day",
        "vehicles/K900/inspection.yaml:8:23: inspection.done_on: found 2026-12-04; "
        "expected a day up to today, 2026-11-25; to mend, check the year, the month and the day",
    ]


def test_an_invalid_value_causes_no_follow_up_problems(tmp_path):
    """A photo of an unreadable defect is not reported as unused, nor the defect as missing."""
    inspection = (
        INSPECTION
        + """\
checks: {headlights: {finding: attention, defect: dent}}
defects:
  - id: dent
    kind: dent
    where: {station: front, part: hood}
    affects: look
    words: A dent.
    photos:
      - {file: dent.jpg, shows: A dent.}
"""
    )
    write_one(tmp_path, inspection, photos=["dent.jpg"])
    assert told(tmp_path) == [
        "vehicles/K900/inspection.yaml:14:14: defects[1].affects: found look; "
        'expected looks, function or safety; to mend, did you mean "looks"?'
    ]


@pytest.mark.parametrize(
    ("status", "days", "is_told"), [("for sale", 51, True), ("on hold", 51, True), ("for sale", 52, False)]
)
def test_an_old_inspection_of_an_offered_vehicle_gets_a_warning(tmp_path, status, days, is_told):
    """By hand: from October 4 to November 25 it is 27 + 25 = 52 days."""
    write_one(tmp_path, INSPECTION.replace("for sale", status), f"{SITE}stale_after_days: {days}\n")
    line = (
        "vehicles/K900/inspection.yaml:8:23: warning: inspection.done_on: found 2026-10-04; "
        f"expected an inspection of the last {days} days (stale_after_days of site.yaml); "
        "to mend, look again, and write what changed and the new day; or mark it as sold"
    )
    assert told(tmp_path) == ([line] if is_told else [])


def test_warnings_do_not_block_the_store(tmp_path):
    write_one(tmp_path, INSPECTION, photos=["spare.jpg"])
    store, problems = read_store(tmp_path, TODAY)
    assert [problem.severity.value for problem in problems] == ["warning"]
    assert len(store.vehicles) == 1


def test_two_vehicles_may_share_neither_stock_nor_vin(tmp_path):
    vehicle = write_one(tmp_path, INSPECTION)
    shutil.copytree(vehicle, vehicle.with_name("K901"))
    shutil.copytree(vehicle, vehicle.with_name("K902"))
    for name in ("K901", "K902"):
        file = vehicle.with_name(name) / "inspection.yaml"
        file.write_text(INSPECTION.replace("K900", name))
    third = vehicle.with_name("K902") / "inspection.yaml"
    third.write_text(INSPECTION.replace("00ZWA5H48JD000101", OTHER_VIN).replace("2018", "2020"))
    assert told(tmp_path) == [
        "vehicles/K900/inspection.yaml:1:8: stock: found K900, which is also in vehicles/K902/inspection.yaml; "
        "expected another one for each vehicle; to mend, find out which vehicle it belongs to",
        "vehicles/K900/inspection.yaml:4:6: vin: found 00ZWA5H48JD000101, which is also in "
        "vehicles/K901/inspection.yaml; expected another one for each vehicle; "
        "to mend, find out which vehicle it belongs to",
        "vehicles/K901/inspection.yaml:4:6: vin: found 00ZWA5H48JD000101, which is also in "
        "vehicles/K900/inspection.yaml; expected another one for each vehicle; "
        "to mend, find out which vehicle it belongs to",
        "vehicles/K902/inspection.yaml:1:8: stock: found K900; expected K902, as the folder is named; "
        "to mend, rename the folder, or mend the stock number",
        "vehicles/K902/inspection.yaml:1:8: stock: found K900, which is also in vehicles/K900/inspection.yaml; "
        "expected another one for each vehicle; to mend, find out which vehicle it belongs to",
    ]


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        (
            "languages: [en]",
            "languages: [en, tlh]",
            "site.yaml:6:17: languages[2]: found tlh; "
            f"expected a language that sitegen has words in ({WITH_WORDS}); "
            "to mend, choose one of these, or add a folder of words for it",
        ),
        (
            "languages: [en]",
            "languages: [en, en]",
            "site.yaml:6:17: languages[2]: found en again; expected each language once; "
            "to mend, delete one of the two",
        ),
        (
            "languages: [en]",
            "languages: [English]",
            "site.yaml:6:13: languages[1]: found English; expected a language tag (en, es, pt-BR); "
            "to mend, write two small letters for the language",
        ),
        (
            "America/Chicago",
            "America/Chigaco",
            "site.yaml:7:12: time_zone: found America/Chigaco; "
            "expected a time zone of the tz database (America/Chicago); "
            'to mend, did you mean "America/Chicago"?',
        ),
        (
            "+1 202 555 0142",
            "(202) 555-0142",
            "site.yaml:3:8: phone: found (202) 555-0142; "
            "expected a telephone number with its country code (+1 202 555 0142); "
            "to mend, begin with + and the country code, and use only digits, spaces and hyphens",
        ),
        (
            "https://www.ferrow-lane.example/",
            "www.ferrow-lane.example",
            "site.yaml:4:15: base_address: found www.ferrow-lane.example; "
            "expected a web address (https://www.ferrow-lane.example/cars/); "
            "to mend, begin with https:// and leave out spaces, ? and #",
        ),
        (
            "USD",
            "$",
            "site.yaml:5:11: currency: found $; expected a currency code of ISO 4217 (USD); "
            "to mend, write its three capital letters",
        ),
        (
            "region: us",
            "region: us\nstale_after_days: 0",
            "site.yaml:9:19: stale_after_days: found 0; expected a number of at least 1; to mend, check the figure",
        ),
        (
            "region: us",
            "region: us\npictures: {formats: [avif, avif]}",
            "site.yaml:9:21: pictures.formats: found a list; expected each format once (avif, webp); "
            "to mend, take out the one that stands twice",
        ),
        (
            "region: us",
            "region: us\npictures: {formats: [gif]}",
            'site.yaml:9:22: pictures.formats[1]: found gif; expected avif or webp; to mend, did you mean "avif"?',
        ),
        (
            "region: us",
            "region: us\npictures: {widths: [640, 320]}",
            "site.yaml:9:20: pictures.widths: found a list; expected widths that rise (320, 640, 1200); "
            "to mend, write the narrowest first, and each once",
        ),
    ],
)
def test_a_mistake_in_the_settings_is_reported(tmp_path, old, new, line):
    (tmp_path / "vehicles").mkdir()
    (tmp_path / "site.yaml").write_text(SITE.replace(old, new))
    assert [problem for problem in told(tmp_path) if "warning" not in problem] == [line]


@pytest.mark.parametrize("key", [line.split(":")[0] for line in SITE.splitlines()])
def test_a_misspelt_setting_is_reported_once(tmp_path, key):
    write_one(tmp_path, INSPECTION)
    (tmp_path / "pages" / "es").mkdir(parents=True)
    (tmp_path / "pages" / "about.md").write_text("# About\n", "utf-8")
    (tmp_path / "pages" / "es" / "about.md").write_text("# Quiénes somos\n", "utf-8")
    misspelt = f"{key}s"
    settings = SITE.replace("[en]", "[en, es]")
    (tmp_path / "site.yaml").write_text(re.sub(f"(?m)^{key}:", f"{misspelt}:", settings), "utf-8")
    line = next(number for number, line in enumerate(settings.splitlines(), 1) if line.startswith(key))
    assert told(tmp_path) == [
        f'site.yaml:{line}:1: {misspelt}: found the key "{misspelt}"; expected a key that sitegen knows; '
        f'to mend, did you mean "{key}"?'
    ]


@pytest.mark.parametrize(
    ("written", "line"),
    [
        (
            "prices: {oil_change: 65-95}",
            'services.yaml:1:10: prices.oil_change: found the key "oil_change"; '
            "expected a service or part that sitegen knows; to mend, `sitegen help services` lists them",
        ),
        (
            "prices: {front_pad: 170-260}",
            'services.yaml:1:10: prices.front_pad: found the key "front_pad"; '
            'expected a service or part that sitegen knows; to mend, did you mean "front_pads"?',
        ),
        (
            "prices: {battery: $1.5k}",
            "services.yaml:1:19: prices.battery: found $1.5k; expected a price range (65-95), or one price (80); "
            "to mend, write two whole amounts with a hyphen between, or one",
        ),
        (
            "battery: 150",
            'services.yaml:1:1: battery: found the key "battery"; expected the keys prices, for_some, labor_rate and '
            "as_of; to mend, delete it, or move it to where it belongs; `sitegen help record` lists the keys",
        ),
    ],
)
def test_a_mistake_in_the_price_list_is_reported(tmp_path, written, line):
    write_one(tmp_path, INSPECTION)
    (tmp_path / "services.yaml").write_text(f"{written}\n")
    assert told(tmp_path)[0] == line


@pytest.mark.parametrize(
    ("page", "content", "line"),
    [
        (
            "about.md",
            b"# \n\nText\n",
            "pages/about.md:1:1: found a heading without words; expected the page's title, "
            "as a line that begins with # and a space; to mend, write it as the first line",
        ),
        (
            "About us.md",
            b"# About\n",
            "pages/About us.md: found the name About us.md; "
            "expected a name of small letters and digits, with single hyphens between (how-we-inspect.md); "
            "to mend, rename the file, for its name becomes part of the page's address",
        ),
        (
            "about.md",
            b"# Caf\xe9\n",
            "pages/about.md:1:6: found a byte that is not UTF-8 (0xE9); expected text saved as UTF-8; "
            "to mend, save the file again as UTF-8",
        ),
        (
            "en.md",
            b"# Entry\n",
            "pages/en.md: found the name en.md; expected a name that no folder of the site has; "
            "to mend, rename the file",
        ),
        (
            "fr/about.md",
            b"# A propos\n",
            "pages/fr: warning: found another folder; "
            "expected a folder named after a language of the site (en); "
            "to mend, add the language to site.yaml, or rename the folder",
        ),
    ],
)
def test_a_mistake_in_an_own_page_is_reported(tmp_path, page, content, line):
    write_one(tmp_path, INSPECTION)
    path = tmp_path / "pages" / page
    path.parent.mkdir(parents=True)
    path.write_bytes(content)
    assert told(tmp_path) == [line]


def test_pages_in_other_languages_lie_in_folders_of_their_own(tmp_path):
    pages = {"about.md": "# About\n", "es/about.md": "# Quiénes somos\n"}
    write_store(tmp_path, settings={"languages": ["en", "es"]}, pages=pages)
    read, problems = read_own_pages(tmp_path, ["en", "es"])
    assert problems == []
    assert [(page.slug, page.language, page.title) for page in read] == [
        ("about", "en", "About"),
        ("about", "es", "Quiénes somos"),
    ]
