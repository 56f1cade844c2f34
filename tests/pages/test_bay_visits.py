"""The bay page shows what the store knows, and writes visits that state what was touched and nothing else."""

from __future__ import annotations

import json
import subprocess
from datetime import date
from typing import Any

import pytest
import yaml

from sitegen.condition.danger.matching import names_a_repair
from sitegen.pages.bay.bay_pages import VehicleInStore, known_files
from sitegen.pages.bay.vocabulary import Shop, bay_vocabulary
from sitegen.pages.composing import translator_for
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.store import read_vehicle_alone
from sitegen.reading.validation.record_files import read_record
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.current import current_record
from sitegen.records.visits.visit import VISIT, Visit
from sitegen.shared_data import content_folder, themes_folder
from tests.builders import some_theme
from tests.conftest import REPOSITORY
from tests.pages.bay_entries import SCRIPTS

DEMO = REPOSITORY / "demo_site"
STOCKS = ("K101", "K102", "K104", "K105", "K106")
MOMENT = "2026-11-20T14:12-06:00"
RUNNING = """
const [{ readFileSync }, { runInThisContext }] = [require("fs"), require("vm")];
globalThis.module = globalThis.exports = undefined;
const { script, stock, entries, vocabulary, moment, scripts } = JSON.parse(readFileSync(0, "utf-8"));
for (const file of scripts) runInThisContext(readFileSync(file, "utf-8"), file);
let known = null;
bay.known.take = (_, taken) => (known = bay.known.inLanguage(taken, vocabulary.language));
runInThisContext(script);
const put = (object, path, value) => {
  const keys = path.split(".");
  const last = keys.pop();
  keys.reduce((part, key) => (part[key] ??= {}), object)[last] = value;
};
const given = entries === "all known" ? {} : entries;
if (entries === "all known")
  for (const [path, [value]] of Object.entries(known.raw.values))
    if (path !== "stock" && typeof value === "string") put(given, path, value);
const seen = bay.known.merged(given, known);
const { visit, files } = bay.visit.visitOf(given, known, vocabulary, moment);
console.log(JSON.stringify({
  text: bay.record.textOf(visit),
  files: files.map(({ name }) => name),
  must: bay.limits.mustHave(seen, vocabulary, moment.slice(0, 10)).map(({ words }) => words),
  may: bay.limits.mayHave(seen, vocabulary).map(({ words }) => words),
  held: bay.limits.holds(seen, vocabulary).map(({ where }) => where),
}));
"""


@pytest.fixture(scope="module")
def shop() -> Shop:
    settings, _, _ = read_record(SiteSettings, DEMO / "site.yaml", "site.yaml")
    assert settings is not None
    figures = read_figures(content_folder(), settings.region)
    return Shop(figures, some_theme().bodies, [translator_for(tag, settings, figures) for tag in settings.languages])


def demo_record(stock: str) -> VehicleRecord:
    settings, _, _ = read_record(SiteSettings, DEMO / "site.yaml", "site.yaml")
    assert settings is not None
    record, _ = read_vehicle_alone(DEMO / "vehicles" / stock, "inspection.yaml", settings, date(2026, 11, 25))
    assert record is not None
    return record


def visit_to(record: VehicleRecord, entries: Any, shop: Shop) -> dict[str, Any]:
    """Return what the scripts make of entries about a vehicle of the store: a visit's text, and the page's lists."""
    script = known_files([VehicleInStore(record)], shop)[f"known-{record.stock}.js"].decode()
    told = {
        "script": script,
        "entries": entries,
        "vocabulary": bay_vocabulary(shop, shop.translators[0]),
        "moment": MOMENT,
        "scripts": [str(themes_folder() / "daylight" / "bay" / name) for name in SCRIPTS],
    }
    done = subprocess.run(["node", "-e", RUNNING], input=json.dumps(told), capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def read_visit(text: str) -> Visit:
    return VISIT.model_validate_json(json.dumps(yaml.safe_load(text), default=str), strict=True)


@pytest.mark.parametrize("stock", STOCKS)
def test_a_visit_that_enters_again_all_that_is_known_changes_nothing(stock: str, shop: Shop):
    """So no known value is lost or changed on the way to the page and back. Texts are entered in one language."""
    record = demo_record(stock)
    answer = visit_to(record, "all known", shop)
    assert answer["must"] == []
    after = current_record(record, {"2026-11-20-1412": read_visit(answer["text"])}).record
    for group in ("tires", "brakes", "battery", "brake_fluid", "coolant", "traction_battery", "checks"):
        before_it, after_it = (comparable(getattr(each, group)) for each in (record, after))
        assert after_it == before_it, group
    assert (after.price, after.vin, after.title and after.title.brand) == (
        record.price, record.vin, record.title and record.title.brand,
    )  # fmt: skip
    assert after.defects == record.defects


def comparable(group: Any) -> Any:
    """Return the values of a group without the days of its tests and without notes at figures, which stay."""
    if hasattr(group, "model_dump"):
        return comparable(group.model_dump(mode="json", exclude_none=True))
    if isinstance(group, dict):
        kept = {key: comparable(value) for key, value in group.items() if key not in ("tested_on", "measured_on")}
        return {key: value for key, value in kept.items() if value != "not checked"}
    return group.replace(",", "") if isinstance(group, str) else group


def test_a_second_look_states_what_was_touched_and_nothing_else(shop: Shop):
    record = demo_record("K102")
    photo = {"photo": "a", "type": "image/jpeg"}
    answer = visit_to(
        record,
        {
            "odometer": "88950",
            "by": "our lead technician",
            "gauges": {"tread": {"name": "plunger", "reads_to": "1/32 in"}},
            "tires": {"left_front": {"inner": "4/32 in"}, "left_rear": {}},
            "brakes": {"left_rear": {"inner": "5 mm"}},
            "checks": {"fog_lights": {"finding": "attention"}, "horn": {}},
            "looked": {
                "left-fog-light-lens": {"now": "put right", "done_words": "Replaced the lens.", "close": photo},
                "right-rear-arch-rust": {"now": "worse", "size": "1.5"},
                "left-roof-rail-faded": {"now": ""},
            },
            "defects": [
                {
                    "kind": "scratch",
                    "station": "rear",
                    "part": "hatch",
                    "affects": "looks",
                    "words": "Thin.",
                    "done": "left",
                }
            ],
        },
        shop,
    )
    known = record.checks["fog_lights"].model_dump(mode="json", exclude_none=True)
    assert yaml.safe_load(answer["text"]) == {
        "on": MOMENT,
        "at": "88950 mi",
        "by": {"en": "our lead technician"},
        "gauges": {"tread": {"name": {"en": "plunger"}, "reads_to": "1/32 in"}},
        "odometer": {"reading": "88950 mi", "read_on": "2026-11-20"},
        "tires": {"left_front": {"tread": {"inner": "4/32 in"}}},
        "brakes": {"left_rear": {"kind": "disc", "pads": {"inner": "5 mm"}}},
        "checks": {"fog_lights": known},
        "defects": [
            {"id": "right-rear-arch-rust", "now": "worse", "size": "1.5 in"},
            {
                "id": "left-fog-light-lens",
                "now": "put right",
                "done": {"en": "Replaced the lens."},
                "photos": [
                    {
                        "file": "left-fog-light-lens-close.jpg",
                        "shows": {"en": "Cracked lens from close by: left fog light"},
                    }
                ],
            },
            {
                "id": "scratch-1",
                "kind": "scratch",
                "where": {"station": "rear", "part": {"en": "hatch"}},
                "affects": "looks",
                "words": {"en": "Thin."},
                "done": "left as it is",
            },
        ],
    }
    after = current_record(record, {"2026-11-20-1412": read_visit(answer["text"])}).record
    assert [defect.id for defect in after.defects].count("left-fog-light-lens") == 0
    assert after.tires.right_front == record.tires.right_front
    assert len(after.checks) == len(record.checks)


def test_the_page_asks_for_everything_that_a_bare_vehicle_lacks_and_holds_what_it_may_not_show(shop: Shop):
    record = demo_record("K102")
    assert visit_to(record, {}, shop)["held"] == []
    answer = visit_to(record, {"tires": {"left_front": {"inner": "1/32 in"}}}, shop)
    assert answer["held"] == ["tires.left_front.tread.inner"]
    promise = {"what": "Replace the tire: left front", "by": "replaced"}
    answered = visit_to(record, {"tires": {"left_front": {"inner": "1/32 in", "promise": promise}}}, shop)
    assert answered["held"] == []
    assert yaml.safe_load(answered["text"])["before_delivery"] == [
        {"what": {"en": promise["what"]}, "renews": ["tires.left_front"], "by": "replaced"}
    ]
    assert any(words.startswith("No record of: Cabin filter") for words in answer["may"])


def test_the_promise_that_one_tap_makes_names_a_repair_in_every_language(shop: Shop):
    for translator in shop.translators:
        lexicon = shop.figures.lexicons.root[translator.language]
        for key in ("promise_tire", "promise_brake", "promise_point", "promise_defect"):
            words = translator.catalog.form(f"bay.{key}").format(what="x", part="y")
            assert names_a_repair(words, lexicon), words
