"""Follow each section of "How to add" in DEVELOPERS.md to the letter, on a copy of code, content and themes.

No outside source. Each copy makes a real site with the real command, in a process of its own.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

import pytest
from bs4 import BeautifulSoup

from tests.builders import an_inspection, write_store
from tests.conftest import DEMO_DAY, REPOSITORY

JUDGE = '''"""Whether the wheel bolts were tightened."""

from datetime import date

from sitegen.condition.basis.findings import Judged, PlainFinding
from sitegen.condition.basis.values import Said
from sitegen.records.figures import Figures
from sitegen.records.vehicle_record import VehicleRecord


def judge_bolts(record: VehicleRecord, _figures: Figures, _as_of: date) -> Judged:
    return Judged((PlainFinding("bolts.heading", (Said("bolts.of", {"stock": record.stock}),)),))
'''
SHOW_COMPONENTS = """
import sys
from datetime import date
from pathlib import Path
from sitegen.pages.gallery.gallery import component_pages
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.store import read_store
from sitegen.shared_data import content_folder

store, _ = read_store(Path(sys.argv[1]), date(2026, 11, 21))
pages = component_pages(store, read_figures(content_folder(), store.settings.region), date(2026, 11, 21))
sys.stdout.write(pages["_components/bolt-note/bolt-note-tightened.html"].decode())
"""


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """A copy of everything that a developer adds to."""
    for folder in ("sitegen", "content", "themes"):
        shutil.copytree(REPOSITORY / folder, tmp_path / folder)
    return tmp_path


def run(house: Path, *arguments: str | Path) -> str:
    """Run Python on the copy and return what it printed."""
    environment = {**os.environ, "PYTHONPATH": str(house), "SOURCE_DATE_EPOCH": DEMO_DAY}
    command = [sys.executable, *map(str, arguments)]
    ran = subprocess.run(command, cwd=house, env=environment, capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    return ran.stdout


def built(house: Path, vehicle: Mapping[str, object] = MappingProxyType({}), **settings: object) -> Path:
    """Build a store of one vehicle with the copy and return its site."""
    store = write_store(house / "store", [vehicle], settings=settings)
    run(house, "-m", "sitegen", "build", store)
    return store / "published"


def vehicle_page(site: Path, under: str = "") -> BeautifulSoup:
    (page,) = (site / under).glob("vehicles/*/index.html")
    return BeautifulSoup(page.read_text("utf-8"), "html.parser")


def add_to(file: Path, text: str) -> None:
    file.write_text(f"{file.read_text('utf-8').rstrip()}\n{text}", "utf-8")


def test_a_check_point_and_a_kind_of_defect_are_a_key_and_its_words(house: Path):
    add_to(house / "content/reference/check_points.yaml", "tow_hook: {station: underside}\n")
    add_to(house / "content/reference/defect_kinds.yaml", "moth holes: {usually: looks}\n")
    for language, hook, holes in (("en", "tow hook", "moth holes"), ("es", "gancho", "agujeros de polilla")):
        words = f'\nmsgid "point.tow_hook"\nmsgstr "{hook}"\n\nmsgid "kind.moth_holes"\nmsgstr "{holes}"\n'
        add_to(house / f"content/{language}/vehicle/disclosure.po", words)
    (defect,) = an_inspection()["defects"]
    vehicle = {
        "checks": {"tow_hook": {"finding": "attention", "note": "Bent."}},
        "defects": [{**defect, "kind": "moth holes"}],
    }
    site = built(house, vehicle, languages=["en", "es"])
    for under, hook, holes in (("", "tow hook", "moth holes"), ("es", "gancho", "agujeros de polilla")):
        page = vehicle_page(site, under)
        assert hook in page.select_one("#checks").get_text().lower()
        assert holes in page.select_one("#defects").get_text().lower()


def test_a_panel_and_a_piece_of_equipment_of_the_bay_page_are_a_key_and_its_words(house: Path):
    lists = house / "content/reference/walk_lists.yaml"
    named = (
        lists.read_text("utf-8")
        .replace("panels: [", "panels: [cowl, ")
        .replace("equipment: [", "equipment: [winch, ")
    )
    lists.write_text(named, "utf-8")
    for language, cowl, winch in (("en", "Cowl", "Winch"), ("es", "Torpedo", "Malacate")):
        words = f'\nmsgid "panel.cowl"\nmsgstr "{cowl}"\n\nmsgid "equipment.winch"\nmsgstr "{winch}"\n'
        add_to(house / f"content/{language}/bay_choices.po", words)
    store = write_store(house / "store", settings={"languages": ["en", "es"]})
    run(house, "-m", "sitegen", "bay", store)
    page = (store / "desk/bay/es.html").read_text("utf-8")
    assert '{"key":"cowl","words":"Torpedo","all":{"en":"Cowl","es":"Torpedo"}}' in page
    assert '{"key":"winch","words":"Malacate","all":{"en":"Winch","es":"Malacate"}}' in page


def test_a_body_is_a_drawing_its_places_a_key_and_its_words(house: Path):
    plan = house / "themes/daylight/components/body-plan"
    shutil.copyfile(plan / "bodies/minivan.html", plan / "bodies/camper-van.html")
    places = (plan / "places.yaml").read_text("utf-8")
    add_to(
        plan / "places.yaml",
        places[places.index("minivan:") : places.index("cargo van:")].replace("minivan", "camper van"),
    )
    vehicle = house / "sitegen/records/vehicle.py"
    key = '    CONVERTIBLE = "convertible"\n'
    vehicle.write_text(vehicle.read_text("utf-8").replace(key, f'{key}    CAMPER_VAN = "camper van"\n'), "utf-8")
    for language in ("en", "es"):
        add_to(house / f"content/{language}/vehicle/identity.po", '\nmsgid "body.camper_van"\nmsgstr "Camper van"\n')
    page = vehicle_page(built(house, {"vehicle": {"body": "camper van"}}))
    assert "Camper van" in page.select_one(".vehicle-title").get_text()
    assert page.select_one(".body-plan svg")


def test_a_judges_sentence_reaches_the_page(house: Path):
    (house / "sitegen/condition/tires/bolts.py").write_text(JUDGE, "utf-8")
    judging = house / "sitegen/condition/judging.py"
    listed = judging.read_text("utf-8").replace("    judge_alignment,\n", "    judge_alignment,\n    judge_bolts,\n")
    imported = "from sitegen.condition.tires.bolts import judge_bolts\nfrom sitegen.condition.tires.tires"
    judging.write_text(listed.replace("from sitegen.condition.tires.tires", imported), "utf-8")
    for language, heading in (("en", "Wheel bolts"), ("es", "Tornillos")):
        words = f'\nmsgid "bolts.heading"\nmsgstr "{heading}"\n\nmsgid "bolts.of"\nmsgstr "{heading}: {{stock}}."\n'
        add_to(house / f"content/{language}/condition/tires.po", words)
    measured = vehicle_page(built(house)).select_one("#measured")
    assert measured is not None
    added = measured.find("h3", string="Wheel bolts")
    assert added is not None
    told = added.find_next_sibling("p")
    assert told is not None
    assert told.text.startswith("Wheel bolts: ")


def test_a_component_is_a_folder(house: Path):
    folder = house / "themes/daylight/components/bolt-note"
    folder.mkdir()
    shown = '<p class="bolt-note">{{ note.name | text }}: {{ note.value | text }}</p>'
    macro = f"{{% macro bolt_note(note) %}}{shown}{{% endmacro %}}"
    (folder / "bolt-note.html").write_text(macro, "utf-8")
    (folder / "bolt-note.css").write_text("@layer components { .bolt-note { color: var(--ink); } }\n", "utf-8")
    (folder / "README.md").write_text("# Bolt note\n\nTakes a fact; is heard as one sentence.\n", "utf-8")
    takes = "takes: {note: sitegen.pages.language.translator.Fact}\n"
    examples = "bolt_note:\n  Tightened:\n    note: {name: Wheel bolts, value: tightened}\n"
    (folder / "examples.yaml").write_text(takes + examples, "utf-8")
    page = run(house, "-c", SHOW_COMPONENTS, write_store(house / "store"))
    assert '<p class="bolt-note">Wheel bolts: tightened</p>' in page


def test_a_components_script_runs_on_its_page(house: Path):
    components = house / "themes/daylight/components"
    (components / "key-figures/bolts.mjs").write_text(
        'export function enhance(figures) {\n  figures.dataset.bolts = "tightened";\n}\n', "utf-8"
    )
    entry = house / "themes/daylight/scripts/condition.mjs"
    imported = 'import { enhance as enhanceBolts } from "../components/key-figures/bolts.mjs";\n'
    called = 'document.querySelectorAll(".key-figures").forEach(enhanceBolts);\n'
    entry.write_text(imported + entry.read_text("utf-8") + called, "utf-8")
    (script,) = built(house).glob("assets/daylight-*/condition.js")
    assert "tightened" in script.read_text("utf-8")


def test_a_region_is_figures_a_key_and_its_words(house: Path):
    regions = house / "content/reference/regions"
    shutil.copyfile(regions / "gb.yaml", regions / "nz.yaml")
    replace_in(regions / "nz.yaml", "region: gb", "region: nz")
    replace_in(
        house / "sitegen/records/store.py",
        '    GREAT_BRITAIN = "gb"\n',
        '    GREAT_BRITAIN = "gb"\n    NEW_ZEALAND = "nz"\n',
    )
    words = house / "content/en/regions"
    shutil.copytree(words / "gb", words / "nz")
    add_to(words / "nz/rules.po", '\nmsgid "tires.heading"\nmsgstr "Tyres and wheels"\n')
    assert "Tyres and wheels" in vehicle_page(built(house, region="nz")).select_one("#measured").get_text()


def test_a_theme_is_a_folder(house: Path):
    shutil.copytree(house / "themes/daylight", house / "themes/dusk")
    add_to(house / "themes/dusk/styles/9-print.css", ".dusk { color: inherit }\n")
    site = built(house, theme="dusk")
    (style,) = site.glob("assets/dusk-*/style.css")
    assert ".dusk{color:inherit}" in style.read_text("utf-8")


def test_a_language_is_a_folder(house: Path):
    shutil.copytree(house / "content/es", house / "content/pt")
    for catalog in (house / "content/pt").rglob("*.po"):
        catalog.write_text(catalog.read_text("utf-8").replace("Language: es", "Language: pt"), "utf-8")
    site = built(house, languages=["en", "pt"])
    page = vehicle_page(site, "pt").html
    assert page is not None
    assert page["lang"] == "pt"


def replace_in(file: Path, old: str, new: str) -> None:
    text = file.read_text("utf-8")
    assert text.count(old) == 1, (file, old)
    file.write_text(text.replace(old, new), "utf-8")


@pytest.fixture
def with_key(house: Path) -> Path:
    """The copy with the key `vehicle.key_count`, after all steps for a key of the record except the messages."""
    replace_in(
        house / "sitegen/records/vehicle.py",
        '    """Number of seats."""\n',
        '    """Number of seats."""\n    key_count: Annotated[int, Field(ge=0, le=9)] | None = None\n'
        '    """Number of keys that are handed over."""\n',
    )
    identity = house / "sitegen/pages/vehicle/identity.py"
    replace_in(
        identity,
        '        "seats": vehicle.seats and str(vehicle.seats),\n',
        '        "seats": vehicle.seats and str(vehicle.seats),\n'
        '        "key_count": vehicle.key_count and str(vehicle.key_count),\n',
    )
    replace_in(identity, '"seats", "vin")', '"seats", "key_count", "vin")')
    bay = house / "themes/daylight/bay"
    seats = 'field(entries, "seats", say.seats, { inputmode: "numeric", maxlength: 2 }),\n'
    asked = 'field(entries, "key_count", say.key_count, { inputmode: "numeric", maxlength: 1 }),\n'
    replace_in(bay / "measuring.js", seats, seats + asked)
    replace_in(
        bay / "record.js",
        "seats: number(entries.seats),\n",
        "seats: number(entries.seats),\nkey_count: number(entries.key_count),\n",
    )
    replace_in(bay / "limits.js", '["seats", 1, 20],\n', '["seats", 1, 20],\n["key_count", 0, 9],\n')
    return house


def add_key_messages(house: Path, *languages: str) -> None:
    for language in languages:
        add_to(house / f"content/{language}/bay.po", '\nmsgid "bay.key_count"\nmsgstr "Keys handed over"\n')
        message = '\nmsgid "identity.key_count"\nmsgstr "Keys handed over"\n'
        add_to(house / f"content/{language}/vehicle/identity.po", message)


def test_a_key_of_the_record_is_asked_for_checked_documented_and_shown(with_key: Path):
    add_key_messages(with_key, "en", "es")
    site = built(with_key, {"vehicle": {"key_count": 2}}, languages=["en", "es"])
    for under in ("", "es"):
        assert "Keys handed over" in vehicle_page(site, under).get_text()
    run(with_key, "-m", "sitegen", "bay", with_key / "store")
    page = (with_key / "store/desk/bay/es.html").read_text("utf-8")
    assert '"key_count":"Keys handed over"' in page
    row = "| `key_count` | whole number from 0 to 9 | Number of keys that are handed over. |"
    assert row in run(with_key, "-m", "sitegen", "help", "record")


def test_a_missing_label_is_reported_at_the_line_that_uses_it(with_key: Path):
    add_key_messages(with_key, "en")
    store = write_store(with_key / "store", settings={"languages": ["en", "es"]})
    command = [sys.executable, "-m", "sitegen", "bay", str(store)]
    ran = subprocess.run(command, cwd=with_key, capture_output=True, text=True)
    assert ran.returncode == 1
    script = (with_key / "themes/daylight/bay/measuring.js").read_text("utf-8")
    line = script[: script.index("say.key_count")].count("\n") + 1
    assert f"themes/daylight/bay/measuring.js:{line}:" in ran.stderr
    assert (
        "found say.key_count; expected a message of content/es/bay.po; "
        'to mend, add msgid "bay.key_count" and its msgstr there'
    ) in ran.stderr
    assert not (store / "desk").exists()


def test_a_service_is_a_key_its_interval_and_its_words(house: Path):
    services, intervals = house / "content/reference/services.yaml", house / "content/reference/intervals.yaml"
    replace_in(services, "scheduled:\n", "scheduled:\n  - door_seals\n")
    replace_in(
        intervals,
        "\nservices:\n",
        '\nservices:\n  door_seals:\n    - distance: {low: "20,000 mi", high: "40,000 mi"}\n'
        "      source: usual interval\n      known: common practice\n",
    )
    for language, words in (("en", "Door seals"), ("es", "Juntas de puertas")):
        words_of_it = f'\nmsgid "item.door_seals"\nmsgstr "{words}"\n'
        add_to(house / f"content/{language}/condition/outlook.po", words_of_it)
    done = {"service": "door_seals", "done_on": "2026-09", "at": "60,000 mi"}
    site = built(house, {"services": [done]}, languages=["en", "es"])
    assert "Door seals" in vehicle_page(site).get_text()
    assert "Juntas de puertas" in vehicle_page(site, "es").get_text()
    assert "door_seals" in run(house, "-m", "sitegen", "help", "services")


def test_an_explained_word_is_a_text_its_phrases_and_its_name_in_a_section(house: Path):
    for language in ("en", "es"):
        terms = house / f"content/{language}/terms"
        (terms / "even-wear.md").write_text("# Even wear\n\nAll of the tread has worn alike.\n", "utf-8")
        add_to(terms / "words.yaml", "even-wear: [wears evenly, se gasta parejo]\n")
    section = house / "sitegen/pages/vehicle/measured/tires_and_brakes.py"
    text = section.read_text("utf-8")
    section.write_text(re.sub(r"^(TIRE_TERMS = \()", r'\1"even-wear", ', text, flags=re.M), "utf-8")
    page = vehicle_page(built(house))
    explained = page.select_one("#term-even-wear")
    assert explained is not None
    assert "All of the tread has worn alike." in explained.get_text()
    assert page.select_one('[popovertarget="term-even-wear"]').get_text() == "wears evenly"


def test_the_words_of_a_region_replace_the_common_ones(house: Path):
    folder = house / "content/en/regions/gb"
    catalog = folder / "rules.po"
    add_to(catalog, '\nmsgid "tires.heading"\nmsgstr "Tyres"\n')
    for region, heading in (("us", "Tires"), ("gb", "Tyres")):
        page = vehicle_page(built(house, region=region))
        assert heading in page.select_one("#measured").get_text()
        shutil.rmtree(house / "store")


def test_a_word_that_sounds_dangerous_is_a_phrase(house: Path):
    notes = {"notes": "The stopping plate feels spongy."}
    assert vehicle_page(built(house, notes)).find(string=re.compile("stopping plate"))
    dangers = house / "content/en/dangers.yaml"
    dangers.write_text(
        dangers.read_text("utf-8").replace("names: [brake*,", "names: [brake*, stopping plate,", 1), "utf-8"
    )
    store = write_store(house / "another", [notes])
    ran = subprocess.run([sys.executable, "-m", "sitegen", "build", store], cwd=house, capture_output=True, text=True)
    assert ran.returncode == 1
    assert "stopping plate" in ran.stderr
