"""The disclosed facts as canonical JSON, and their fingerprint. Source: RFC 8785, and Node as a second writer."""

from __future__ import annotations

import csv
import json
import struct
import subprocess
from hashlib import sha256

import pytest
import rfc8785

from sitegen.pages.vehicle.record_json import PublishedDigests, canonical_record, disclosed_facts, fingerprint
from tests.builders import a_vehicle, an_inspection, some_settings
from tests.conftest import REPOSITORY

NUMBERS = REPOSITORY / "tests" / "data" / "pages" / "rfc8785_numbers.csv"

# RFC 8785, 3.2.2: the sample, and 3.2.4: the bytes it becomes.
SAMPLE = r"""{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}"""
SAMPLE_BYTES = """
    7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72 75 65 2c 66 61 6c 73 65 5d 2c 22 6e 75 6d 62 65 72 73
    22 3a 5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33 2c 31 65 2b 33 30 2c 34 2e 35 2c 30 2e 30 30 32 2c 31
    65 2d 32 37 5d 2c 22 73 74 72 69 6e 67 22 3a 22 e2 82 ac 24 5c 75 30 30 30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c
    22 2f 22 7d
"""

# RFC 8785, 3.2.3: the keys in their order; by code points the emoji would come last.
KEYS = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]

# What ECMAScript does by itself is what RFC 8785 asks for: keys sorted by UTF-16 units, shortest numbers.
WRITTEN_BY_NODE = """
const sorted = (value) =>
  Array.isArray(value) ? `[${value.map(sorted)}]`
  : value && typeof value === 'object'
    ? `{${Object.keys(value).sort().map((key) => `${JSON.stringify(key)}:${sorted(value[key])}`)}}`
    : JSON.stringify(value)
const written = Buffer.from(sorted(JSON.parse(require('fs').readFileSync(0, 'utf8'))))
process.stdout.write(require('crypto').createHash('sha256').update(written).digest('hex'))
"""


def test_the_sample_of_the_standard_becomes_its_bytes():
    assert rfc8785.dumps(json.loads(SAMPLE)) == bytes.fromhex(SAMPLE_BYTES)


def test_keys_are_in_the_order_of_the_standard():
    assert list(json.loads(rfc8785.dumps(dict.fromkeys(reversed(KEYS), 0)))) == KEYS


def test_numbers_are_written_as_in_the_table_of_the_standard():
    lines = [line for line in NUMBERS.read_text().splitlines() if not line.startswith("#")]
    rows = list(csv.DictReader(lines))
    assert len(rows) == 24
    for row in rows:
        (number,) = struct.unpack(">d", bytes.fromhex(row["bits"]))
        assert rfc8785.dumps(number).decode() == row["written"]


def test_another_program_computes_the_same_fingerprint():
    """Node reads the facts in another order and with spaces, writes them itself, and takes their SHA-256."""
    vehicle = a_vehicle(notes={"en": 'Says "€ 5" — ok\n', "es": "Freno añadido 🚗"}, vehicle={"color": "öl-grün"})
    facts = disclosed_facts(vehicle, some_settings())
    shuffled = json.dumps(dict(reversed(facts.items())), indent=1)
    done = subprocess.run(["node", "-e", WRITTEN_BY_NODE], input=shuffled, check=True, capture_output=True, text=True)
    assert done.stdout == fingerprint(canonical_record(vehicle, some_settings()))


def test_the_fingerprint_is_the_sha_256_of_the_file():
    """FIPS 180-4, by Python's own library."""
    vehicle = a_vehicle()
    facts = canonical_record(vehicle, some_settings())
    assert fingerprint(facts) == sha256(facts).hexdigest()


@pytest.mark.parametrize(
    "changes",
    [
        {"tires": {"left_front": {"tread": {"inner": "5/32 in"}}}},
        {"price": 13451},
        {"defects": []},
        {"checks": {"headlights": "not checked"}},
        {"sale_terms": "implied warranties only"},
        {"before_delivery": [{"what": "Replace the lens."}]},
        {"work_done": []},
        {"notes": "One more word."},
    ],
)
def test_a_changed_fact_changes_the_fingerprint(changes):
    assert fingerprint(canonical_record(a_vehicle(**changes), some_settings())) != fingerprint(
        canonical_record(a_vehicle(), some_settings())
    )


def test_another_picture_under_the_same_name_changes_the_fingerprint():
    vehicle = a_vehicle()
    photos = {photo.file: "a" * 64 for photo in (*vehicle.photos, *vehicle.defects[0].photos)}
    video = PublishedDigests(photos, "b" * 64)
    one = canonical_record(vehicle, some_settings(), PublishedDigests(photos))
    for name in photos:
        other = canonical_record(vehicle, some_settings(), PublishedDigests({**photos, name: "c" * 64}))
        assert fingerprint(one) != fingerprint(other), name
    assert canonical_record(vehicle, some_settings(), video) == one, "it has no film, so none is told of"


@pytest.mark.parametrize(
    "changes",
    [
        {"location": "Row 9, space 9"},
        {"photos": [{"file": "owner-and-plate.jpg", "shows": "The front of the vehicle."}]},
        {
            "photos": [
                {
                    "file": "front.jpg",
                    "shows": "The front of the vehicle.",
                    "cover": [{"x": 0.1, "y": 0.1, "w": 0.2, "h": 0.1}],
                }
            ]
        },
        {"history": []},
        {"not_for_road_use": False},
    ],
)
def test_changes_that_are_not_disclosed_keep_the_fingerprint(changes):
    assert canonical_record(a_vehicle(**changes), some_settings()) == canonical_record(a_vehicle(), some_settings())


def test_private_values_are_not_in_the_file():
    photo = {"file": "owner-and-plate.jpg", "shows": "A lens.", "cover": [{"x": 0.1, "y": 0.1, "w": 0.2, "h": 0.1}]}
    (defect,) = an_inspection()["defects"]
    vehicle = a_vehicle(location="Row 9, space 9", photos=[photo], defects=[{**defect, "photos": [photo]}])
    written = canonical_record(vehicle, some_settings()).decode()
    assert "A lens." in written
    assert "Row 9" not in written
    assert "owner-and-plate" not in written
    assert '"cover"' not in written


def test_figures_keep_their_written_form_with_unit():
    facts = disclosed_facts(a_vehicle(), some_settings())
    assert facts["tires"]["left_front"]["tread"]["inner"] == "6/32 in"
    assert facts["odometer"]["reading"] == "64,000 mi"
    assert facts["battery"]["tested"] == "540 CCA"
    assert (facts["price"], facts["currency"]) == ("13450", "USD")


def test_no_defects_is_stated_and_a_sold_vehicle_has_no_price():
    facts = disclosed_facts(a_vehicle(defects=[], checks=..., status="sold", sold_on="2026-11-01"), some_settings())
    assert facts["defects"] == []
    assert "price" not in facts
