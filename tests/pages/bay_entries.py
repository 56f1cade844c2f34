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

SCRIPTS = (
    *("vendor/js-yaml.js", "numbers.js", "vin.js", "photos/card-size.js", "limits.js", "filming.js", "moments.js"),
    *("record.js", "visits/known.js", "visits/visit.js", "visits/steps.js"),
)
VINS = {2018: "00ZWA5H48JD000101", 2016: "00ZWA5H49GD000102", 1999: "00ZWA5148XD000103"}
WHEELS = ("left_front", "right_front", "left_rear", "right_rear")
LEFT_TO_YAML = {
    # From bills and certificates, and from the office.
    "earlier_readings", "brakes.*.bonded", "title.state", "sale_terms.kind",
    "recalls.open.reference", "recalls.open.remedy", "vehicle.battery_energy", "formerly", "not_for_road_use",
    "additions.id", "additions.what", "additions.stays", "additions.note",
    "services.id", "services.note", "work_done.id", "work_done.renews", "work_done.ends_wear_of", "work_done.settles",
    "work_done.by", "work_done.at", "work_done.finishes", "before_delivery.ends_wear_of", "before_delivery.id",
    # Told, sold or filmed later; a visit has the status and the day of the sale.
    "outlook", "defects.quote", "history", "listed_on", "sold_on", "film",
    # A tester shows what it shows; only the steps of rulers and calipers count.
    "inspection.gauges.battery.reads_to", "inspection.gauges.brake_fluid.reads_to",
    "inspection.gauges.paint.reads_to",
    # Notes at a figure, and marks that are no rings.
    "tires.*.note", "brakes.*.note", "battery.note", "traction_battery.note", "brake_fluid.note", "coolant.note",
    "paint.note", "defects.count", "defects.photos.mark.w", "defects.photos.mark.h", "defects.photos.mark.from_x",
    "defects.photos.mark.from_y"
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
            "new_tread": maybe(vocabulary["new_tread"][-1]["value"]),
            "fitted_at": maybe(dice.choice(("0", "9"))),
            "fitted_on": maybe(dice.choice(("2023-08", "2023"))),
            "promise": maybe_promise("Replace this tire."),
        }

    def maybe_promise(words: str) -> Any:
        return {"what": words, "by": "replaced"} if dice.random() < 0.3 else None

    def a_brake(lining: list[dict[str, Any]]) -> Entries:
        return {
            "kind": maybe(dice.choice(("disc", "drum"))),
            **{place: mark(lining) for place in ("inner", "outer", "leading", "trailing")},
            **{part: maybe(millimeters()) for part in ("rotor", "drum")},
            **{f"{part}_discard": dice.choice(("", "marked", "not marked")) for part in ("rotor", "drum")},
            **{f"{part}_discard_at": millimeters() for part in ("rotor", "drum")},
            "new_lining": maybe(vocabulary["new_lining"][-1]["value"]),
            "fitted_at": maybe("9"),
            "fitted_on": maybe("2023-08-30"),
            "promise": maybe_promise("Replace these brake parts."),
        }

    def a_check() -> Entries:
        finding = dice.choice(("", "good", "good", "attention", "not fitted"))
        return {
            "finding": finding,
            "note": maybe("It sticks: a little."),
            "promise": maybe_promise("Repair it."),
            **({"affects": "function", "because": "We tried it on a lift."} if dice.random() < 0.2 else {}),
        }

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
            "promise": maybe_promise("Replace or repair the part."),
            "because": "We pressed on it." if dice.random() < 0.2 else None,
        }

    dual = dice.choice(("", "dual"))
    inner = vocabulary["inner_wheels"] if dual else []
    every_wheel = (*vocabulary["wheels"], *inner, vocabulary["spare"])
    some = {
        "dual_rear": dual,
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
        "statement": maybe(dice.choice(("actual", "not actual"))),
        "brand": dice.choice(("", "none", "some")),
        "brand_words": "Rebuilt",
        "recalls": dice.choice(("", "none", "some")),
        "recalls_words": "Airbag inflator\n\nWiper motor: front",
        "recalls_on": "2026-10-01",
        "placard_size": maybe("235/65R17"),
        "placard_size_rear": maybe("245/65R17"),
        "placard_pressure": maybe("35"),
        "placard_pressure_rear": maybe("38"),
        "by": maybe("our technician"),
        "gauges": {
            gauge["key"]: {"name": maybe("a gauge"), "reads_to": (gauge["steps"] or [{"key": None}])[0]["key"]}
            for gauge in vocabulary["gauges"]
        },
        "bills": [
            {"at": maybe("9"), "on": "2026-05", "services": {"brake_fluid": True, "tire_rotation": maybe(True)}},
        ],
        "work": [{"what": "Cleaned the cabin."}] if dice.random() < 0.5 else [],
        "no_work": dice.random() < 0.5,
        "promises": [{"what": "Wash it.", "by": None}] if dice.random() < 0.5 else [],
        "no_promises": dice.random() < 0.5,
        "no_additions": dice.random() < 0.5,
        "harmless": [{"words": "It sticks: a little", "because": "It is a drawer."}] if dice.random() < 0.2 else [],
        **{key: maybe("4500") for key in ("gross_weight_pounds", "front_axle_pounds", "rear_axle_pounds")},
        "liters": maybe("2.5"),
        "cylinders": maybe("4"),
        "tires": {wheel["key"]: a_tire(wheel["tread"]) for wheel in every_wheel},
        "brakes": {wheel["key"]: a_brake(wheel["lining"]) for wheel in vocabulary["wheels"]},
        "fluids": {
            "tested": maybe("480"), "rated": maybe("600"), "volts": maybe("12,6"), "rested": maybe("12"),
            "fitted_on": maybe("2021-03"), "moisture": maybe("1.5"), "grade": maybe("DOT 5.1"),
            "freezes_at": maybe("-34"), "boils_at": maybe("180"), "health": maybe("91"),
            "method": maybe("vehicle display"), "range": maybe("210"),
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
