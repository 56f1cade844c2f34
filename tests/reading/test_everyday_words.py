"""Everyday ways of writing a value are accepted if they have one meaning; others get a suggestion."""

from __future__ import annotations

from decimal import Decimal

import pytest
from pydantic import TypeAdapter, ValidationError

from sitegen.reading.store import read_store
from sitegen.reading.yaml.yaml_tree import read_tree
from sitegen.records.everyday import rewritten
from sitegen.records.money.prices import PriceRange
from sitegen.records.quantities import Depth, Length
from sitegen.records.vehicle_record import VehicleRecord
from tests.reading.test_schemas import faults, read
from tests.reading.texts import INSPECTION, SITE, TODAY, with_lines, write_one

EVERYDAY = """\
price: $6,495
vehicle: {year: 2018, make: Brevik, model: Fjordline, body: suv, drive: awd, fuel: gas}
tires: {left_front: {tread: {inner: 6/32}}}
brakes: {left_front: {kind: disc, pads: 5 mm}}
defects:
  - {id: rust, kind: surface rust, where: "right rear, wheel arch", size: 3 inches, affects: looks, words: Rust.}
"""


def record_of(folder, text: str) -> VehicleRecord:
    write_one(folder, text)
    store, _ = read_store(folder, TODAY)
    return store.vehicles[0].record


def test_everyday_forms_give_the_same_record(tmp_path):
    formal = (
        EVERYDAY.replace("$6,495", "6495").replace("fuel: gas", "fuel: gasoline").replace("6/32", "6/32 in")
        .replace("pads: 5 mm", "pads: {inner: 5 mm, outer: 5 mm}").replace("3 inches", "3 in")
        .replace('"right rear, wheel arch"', "{station: right rear, part: wheel arch}")
    )  # fmt: skip
    everyday = record_of(tmp_path / "everyday", with_lines(INSPECTION, EVERYDAY))
    assert everyday == record_of(tmp_path / "formal", with_lines(INSPECTION, formal))
    assert faults("inspection", read(with_lines(INSPECTION, EVERYDAY))) == []


def test_a_unit_name_is_stored_as_its_symbol():
    assert (Length.parse("3 inches").written, Depth.parse("6/32").written) == ("3 in", "6/32 in")


@pytest.mark.parametrize("line", ["price: $6,495", "tires: {left_front: {tread: {inner: 6/32}}}"])
def test_words_with_another_meaning_in_the_region_are_rejected(tmp_path, line):
    write_one(tmp_path, with_lines(INSPECTION, line))
    (tmp_path / "site.yaml").write_text(SITE.replace("USD", "EUR").replace("region: us", "region: eu"), "utf-8")
    assert read_store(tmp_path, TODAY)[0] is None


@pytest.mark.parametrize(
    "written", ["$1,200 to $1,500", "$1,200-1,500", "1,200 – 1,500", "$ 1200 - $ 1500", "1200 to 1500.00"]
)
def test_everyday_price_ranges_are_accepted(written):
    read = TypeAdapter(PriceRange).validate_python(written)
    assert (read.low, read.high) == (Decimal(1200), Decimal(1500))
    assert faults("services", {"prices": {"tire": written}}) == []


@pytest.mark.parametrize("written", ["$1,20 to $1,500", "1.200-1.500", "$1,200 $1,500", "€65-95", "65-", "$1,200 to"])
def test_an_ambiguous_price_range_is_rejected(written):
    with pytest.raises(ValidationError):
        TypeAdapter(PriceRange).validate_python(written)
    assert faults("services", {"prices": {"tire": written}})


def test_dollars_are_rejected_where_the_currency_differs(tmp_path):
    write_one(tmp_path, INSPECTION)
    (tmp_path / "site.yaml").write_text(SITE.replace("USD", "EUR"), "utf-8")
    (tmp_path / "services.yaml").write_text('prices:\n  tire: 65-95\n  battery: "$150"\n', "utf-8")
    _, problems = read_store(tmp_path, TODAY)
    assert [problem.where for problem in problems if problem.file == "services.yaml"] == ["prices.battery"]


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("10/4/2026", "write 2026-10-04 or 2026-04-10, whichever is meant"),
        ("10/14/2026", "write 2026-10-14"),
        ("October 4, 2026", "write 2026-10-04"),
        ("4 Oct 2026", "write 2026-10-04"),
        ("2026-10-4", "write 2026-10-04"),
        ("3/2023", "write 2023-03"),
        ("13/13/2026", None),
        ("yesterday", None),
    ],
)
def test_a_date_in_another_form_gets_an_iso_suggestion(written, told):
    assert rewritten(written) == told


@pytest.mark.parametrize(
    ("kind", "told"),
    [
        ("rust", "write surface rust, scale rust or perforation, whichever it is"),
        ("cracked mirror", 'did you mean "broken part"?'),
        ("surfase rust", 'did you mean "surface rust"?'),
        ("gremlins", "write other, and say more in words"),
    ],
)
def test_an_unknown_kind_of_defect_suggests_synonyms(tmp_path, kind, told):
    defect = f"defects:\n  - {{id: a, kind: {kind}, where: {{station: rear, part: b}}, affects: looks, words: c}}\n"
    write_one(tmp_path, with_lines(INSPECTION, defect))
    _, problems = read_store(tmp_path, TODAY)
    assert [problem.mend for problem in problems if problem.where.endswith("kind")] == [told]


def test_an_unclosed_quote_is_reported_where_it_opens():
    _, problems = read_tree('notes: "no rust\nlocation: "Row 1, space 5"\nprice: 5\n', "inspection.yaml")
    assert [(problem.line, problem.column) for problem in problems] == [(1, 8)]
    assert problems[0].mend == 'add " at the end of line 1'


def test_a_shared_bill_is_reported_at_both_vehicles(tmp_path):
    bill = "services:\n  - {service: timing_belt, done_on: 2025-09-02, at: 60150 mi}\n"
    copied = INSPECTION.replace("K900", "K901").replace("00ZWA5H48JD000101", "00ZWA5H4XJD000102")
    for text in (INSPECTION, copied):
        stock = text[7:11]
        folder = tmp_path / "vehicles" / stock
        folder.mkdir(parents=True)
        (folder / "inspection.yaml").write_text(text + bill, "utf-8")
    (tmp_path / "site.yaml").write_text(SITE, "utf-8")
    _, problems = read_store(tmp_path, TODAY)
    shared = [problem for problem in problems if "service on record" in problem.found]
    assert [problem.file[9:13] for problem in shared] == ["K900", "K901"]
    assert [problem.severity.value for problem in shared] == ["warning", "warning"]
    assert "vehicles/K901/inspection.yaml" in shared[0].found


def test_a_fixed_word_in_another_case_or_with_hyphens_is_taken(tmp_path):
    text = INSPECTION.replace("status: for sale", "status: For-Sale").replace("body: suv", "body: SUV")
    write_one(tmp_path, text.replace("sale_terms: as is", "sale_terms: AS IS"))
    store, problems = read_store(tmp_path, TODAY)
    assert problems == ()
    record = store.vehicles[0].record
    assert (record.status, record.vehicle.body, record.sale_terms) == ("for sale", "suv", "as is")


@pytest.mark.parametrize("written", ["€12,900", "12,900 USD", "£12,900"])
def test_a_message_about_an_amount_keeps_its_currency_in_mind(tmp_path, written):
    write_one(tmp_path, INSPECTION.replace("price: 13450", f"price: {written}"))
    (problem,) = read_store(tmp_path, TODAY)[1]
    assert problem.found == written
    assert problem.mend.startswith("write 12900 if it is in the currency of site.yaml")
