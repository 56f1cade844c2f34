"""Generate random entries of the bay page, and run the page's scripts on them."""

from __future__ import annotations

import json
import random
import subprocess
from typing import Any

from sitegen.pages.bay.vocabulary import Shop, bay_vocabulary
from sitegen.pages.composing import translator_for
from sitegen.reading.reference.figures import read_figures
from sitegen.shared_data import content_folder, themes_folder
from tests.builders import some_settings, some_theme

Entries = dict[str, Any]

SCRIPTS = ("vendor/js-yaml.js", "numbers.js", "vin.js", "card-size.js", "limits.js", "filming.js", "record.js")
VINS = {2018: "00ZWA5H48JD000101", 2016: "00ZWA5H49GD000102", 1999: "00ZWA5148XD000103"}
WHEELS = ("left_front", "right_front", "left_rear", "right_rear")
LEFT_TO_YAML = {
    # From bills, and from the office.
    "services", "work_done", "earlier_readings", "tires.*.new_tread", "tires.*.fitted_at", "tires.*.fitted_on",
    "tires.dual_rear", "tires.*_inner",
    "brakes.*.new_pads", "brakes.*.new_shoes", "brakes.*.fitted_at", "brakes.*.fitted_on", "brakes.*.bonded",
    "inspection.by", "inspection.gauges", "title.state", "sale_terms.kind",
    "recalls.open.reference", "recalls.open.remedy",
    "vehicle.gross_weight_pounds", "vehicle.front_axle_pounds", "vehicle.rear_axle_pounds",
    "vehicle.battery_energy", "vehicle.liters",
    "vehicle.cylinders", "formerly", "not_for_road_use", "additions",
    # Promised, told or filmed later.
    "before_delivery", "outlook", "defects.quote", "history", "listed_on", "sold_on", "film",
    # Answers to what `check` asks about, and a tester that few have.
    "harmless", "defects.because", "brake_fluid.boils_at",
    # The label of tires that differ by axle, and the label's pressures.
    "tires.placard_size_rear", "tires.placard_pressure", "tires.placard_pressure_rear",
    # Notes at a figure, and marks that are no rings.
    "tires.*.note", "brakes.*.note", "battery.note", "traction_battery.note", "brake_fluid.note", "coolant.note",
    "paint.note", "defects.count", "defects.photos.mark.w", "defects.photos.mark.h", "defects.photos.mark.from_x",
    "defects.photos.mark.from_y",
}  # fmt: skip
"""Keys of the record that the bay page does not ask for. DEVELOPERS.md says why."""
ASKING = """
const [{ readFileSync }, { runInThisContext }] = [require("fs"), require("vm")];
globalThis.module = globalThis.exports = undefined;
const { given, vocabulary, today, scripts } = JSON.parse(readFileSync(0, "utf-8"));
for (const script of scripts) runInThisContext(readFileSync(script, "utf-8"), script);
const answer = (entries) => {
  const must = bay.limits.mustHave(entries, vocabulary, today);
  const held = bay.limits.holds(entries, vocabulary);
  const { record, files } = must.length ? {} : bay.record.recordOf(entries, vocabulary);
  return {
    must: must.map(({ words }) => words),
    held: held.map(({ where }) => where),
    steps: [...held, ...bay.limits.mayHave(entries, vocabulary), ...must].map(({ step }) => step),
    text: record ? bay.record.textOf(record) : null,
    files: (files || []).map(({ name }) => name),
  };
};
console.log(JSON.stringify(given.map(answer)));
"""


def vocabulary_of(region: str) -> dict[str, Any]:
    """Return what the page is given in English, in a store of two languages of this region."""
    settings, figures = some_settings(region=region, languages=["en", "es"]), read_figures(content_folder(), region)
    translators = [translator_for(language, settings, figures) for language in settings.languages]
    return bay_vocabulary(Shop(figures, some_theme().bodies, translators, ["North lot", "South lot"]), translators[0])


def answers(entries: list[Entries], vocabulary: dict[str, Any], today: str) -> list[dict[str, Any]]:
    """Return what the scripts say of each: faults, places held, steps, and the record's text if it may be saved."""
    scripts = [str(themes_folder() / "daylight" / "bay" / name) for name in SCRIPTS]
    told = json.dumps({"given": entries, "vocabulary": vocabulary, "today": today, "scripts": scripts})
    done = subprocess.run(["node", "-e", ASKING], input=told, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return list(json.loads(done.stdout))


def some_entries(dice: random.Random, vocabulary: dict[str, Any]) -> Entries:
    """Return entries that could be saved, with all that the page asks for now there, now not."""
    year = dice.choice(list(VINS))
    kinds = [kind["key"] for kind in vocabulary["kinds"]]

    def maybe(value: Any) -> Any:
        return value if dice.random() < 0.7 else None

    def mark(ruler: list[dict[str, Any]]) -> Any:
        """Return a mark of a ruler, twice as often a low one, or nothing."""
        return maybe(dice.choice([*ruler, *ruler[:4]])["value"])

    def millimeters() -> str:
        return dice.choice(("9.5", "22", "22.0", "22,05", "21.95", "254", "253.9"))

    def a_tire(tread: list[dict[str, Any]]) -> Entries:
        return {
            "size": maybe("235/65R17 104H"),
            "date_code": maybe(dice.choice(("3518", "0123", "119", "not visible"))),
            "pressure": maybe("35"),
            "kind": maybe(dice.choice(("all-season", "winter"))),
            **{place: mark(tread) for place in ("outer", "center", "inner")},
        }

    def a_brake(lining: list[dict[str, Any]]) -> Entries:
        return {
            "kind": maybe(dice.choice(("disc", "drum"))),
            **{place: mark(lining) for place in ("inner", "outer", "leading", "trailing")},
            **{part: maybe(millimeters()) for part in ("rotor", "drum")},
            **{f"{part}_discard": dice.choice(("", "marked", "not marked")) for part in ("rotor", "drum")},
            **{f"{part}_discard_at": millimeters() for part in ("rotor", "drum")},
        }

    def a_check() -> Entries:
        finding = dice.choice(("", "good", "good", "attention", "not fitted"))
        return {"finding": finding, "note": maybe("It sticks: a little.")}

    def a_defect() -> Entries:
        station = dice.choice(vocabulary["stations"])["key"]
        card = [(0.4, 0.4), (0.6, 0.4), (0.6, 0.57), (0.4, 0.57)]
        measured = {
            "card": [{"x": x, "y": y} for x, y in card],
            "span": [{"x": 0.3, "y": 0.3}, {"x": 0.6, "y": 0.31}],
        }
        photo = {"photo": "a", "type": "image/jpeg", "width": 1600, "height": 1200}
        return {
            "station": station,
            "wheel": maybe("right rear"),
            "part": 'rear door: "outer"',
            "kind": dice.choice([*kinds, "tire damage"]),
            "affects": dice.choice(("looks", "looks", "function", "safety")),
            "size": maybe("4,7"),
            "rusted": maybe("1"),
            "done": dice.choice(("", "left", "told")),
            "done_words": "Cleaned - and sealed.",
            "words": maybe("It is there."),
            "close": maybe({**photo, "mark": {"x": 0.5, "y": 0.5, "r": 0.1}, **(maybe(measured) or {})}),
            "far": maybe({**photo, "cover": [{"x": 0.1, "y": 0.1, "w": 0.2, "h": 0.1}]}),
        }

    some = {
        "stock": f"K{dice.randint(100, 999)}",
        "vin": VINS[year],
        "year": str(year),
        "make": "Brevik",
        "model": "Fjordline",
        "trim": maybe("Tour"),
        **{key: dice.choice(vocabulary[key])["key"] for key in ("body", "drive", "fuel", "terms")},
        "warranty": "30 days: engine and gearbox.",
        "transmission": maybe("manual"),
        "timing": maybe("belt"),
        "engine": maybe("2.0-liter four-cylinder"),
        "color": maybe("blue"),
        "interior": maybe("tan cloth"),
        "doors": maybe("4"),
        "seats": maybe("05"),
        "odometer": dice.choice(("64000", "64,000", "64 000", "9")),
        "read_on": dice.choice(("2026-10-04", "2026-11-25")),
        "statement": maybe(dice.choice(("actual", "not actual", "exempt"))),
        "brand": dice.choice(("", "none", "some")),
        "brand_words": "Rebuilt",
        "recalls": dice.choice(("", "none", "some")),
        "recalls_words": "Airbag inflator\n\nWiper motor: front",
        "recalls_on": "2026-10-01",
        "placard_size": maybe("235/65R17"),
        "tires": {wheel["key"]: a_tire(wheel["tread"]) for wheel in (*vocabulary["wheels"], vocabulary["spare"])},
        "brakes": {wheel["key"]: a_brake(wheel["lining"]) for wheel in vocabulary["wheels"]},
        "fluids": {
            "tested": maybe("480"), "rated": maybe("600"), "volts": maybe("12,6"), "rested": maybe("12"),
            "fitted_on": maybe("2021-03"), "moisture": maybe("1.5"), "grade": maybe("DOT 5.1"),
            "freezes_at": maybe("-34"), "health": maybe("91"), "method": maybe("vehicle display"),
            "range": maybe("210"),
        },
        "paint": {panel["key"]: maybe("112 108,5 115") for panel in vocabulary["panels"]},
        "paint_unit": maybe("mil") and "µm",
        "checks": {point["key"]: a_check() for point in vocabulary["points"]},
        "equipment": {piece["key"]: dice.choice(("", "has", "lacks")) for piece in vocabulary["equipment"]},
        "has_more": maybe("Roof box\nBed liner"),
        "price": maybe("12,900"),
        "location": maybe("South lot"),
        "notes": maybe("# not a heading\nKept: in a garage."),
        "no_defects": dice.random() < 0.5,
        "defects": [a_defect() for _ in range(dice.randint(0, 3))],
        "views": {"view_left": {"photo": "c", "cover": [{"x": 0.1, "y": 0.1, "w": 0.2, "h": 0.1}]}},
        "more": [{"seen": {"photo": "b", "type": "image/png"}, "words": "The spare key: one."}],
    }  # fmt: skip
    return {key: value for key, value in some.items() if value is not None}
