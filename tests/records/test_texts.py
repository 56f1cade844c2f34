"""Texts in several languages, partial dates, prices, and patterns of short texts."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from sitegen.records.base import Language, LocalizedText, PartialDate
from sitegen.records.disclosure import Box, Check, CheckNote, CheckResult, Circle, Mark
from sitegen.records.money.prices import PriceRange
from sitegen.records.store import Currency, Telephone, WebAddress
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import Discard
from tests.builders import a_vehicle


@pytest.mark.parametrize(
    ("wanted", "text", "language"),
    [("es", "Óxido.", "es"), ("es-MX", "Óxido.", "es"), ("en", "Rust.", "en"), ("fr", "Rust.", "en")],
)
def test_a_text_falls_back_to_the_stores_language(wanted, text, language):
    """RFC 4647, 3.4: look up the tag, then the tag without its last part, then the default."""
    assert LocalizedText({"en": "Rust.", "es": "Óxido."}).best(wanted, "en") == (text, language)


def test_a_plain_text_is_in_the_stores_own_language():
    assert LocalizedText({"": "Rust."}).best("es", "en") == ("Rust.", "en")


@pytest.mark.parametrize(
    ("written", "earliest", "latest"),
    [
        ("2024-02", date(2024, 2, 1), date(2024, 2, 29)),
        ("2023-02", date(2023, 2, 1), date(2023, 2, 28)),
        ("2023", date(2023, 1, 1), date(2023, 12, 31)),
        ("2023-03-14", date(2023, 3, 14), date(2023, 3, 14)),
    ],
)
def test_a_month_or_year_is_an_interval_of_days(written, earliest, latest):
    """The Gregorian calendar: a year that four divides has a February 29."""
    partial = PartialDate.parse(written)
    assert (partial.earliest, partial.latest, partial.written) == (earliest, latest, written)


@pytest.mark.parametrize(
    "written", ["2023-02-29", "2023-13", "23-03", "March 2023", "2023-3", "", "2023-03-14T00:00"]
)
def test_an_impossible_day_is_an_input_error(written):
    with pytest.raises(ValidationError):
        TypeAdapter(PartialDate).validate_python(written)


@given(st.dates(date(1900, 1, 1)))
def test_every_day_is_parsed_unchanged(day):
    partial = PartialDate.parse(day.isoformat())
    assert partial.earliest == partial.latest == day


@pytest.mark.parametrize(
    ("written", "low", "high"),
    [("65-95", "65", "95"), ("65 – 95", "65", "95"), (80, "80", "80"), ("79.50-99.99", "79.50", "99.99")],
)
def test_a_price_range_is_exact(written, low, high):
    prices = TypeAdapter(PriceRange).validate_python(written)
    assert (prices.low, prices.high) == (Decimal(low), Decimal(high))


@pytest.mark.parametrize(
    ("kind", "good", "bad"),
    [
        # E.164 as written by people; RFC 5646; ISO 4217; RFC 3986
        (Telephone, "+1 202 555 0142", "202 555 0142"),
        (Telephone, "+44 1632 960 001", "+0 1632 960 001"),
        (Language, "pt-BR", "pt_br"),
        (Language, "zh-Hant-TW", "english"),
        (Currency, "USD", "usd"),
        (WebAddress, "https://www.ferrow-lane.example/cars/", "https://www.ferrow-lane.example/cars?all"),
        (WebAddress, "http://127.0.0.1:8000/", "//www.ferrow-lane.example/"),
    ],
)
def test_short_texts_must_match_their_pattern(kind, good, bad):
    assert TypeAdapter(kind).validate_python(good) == good
    with pytest.raises(ValidationError):
        TypeAdapter(kind).validate_python(bad)


def test_the_keys_select_the_kind_of_a_union():
    assert TypeAdapter(Mark).validate_python({"x": 0.5, "y": 0.5, "r": 0.1}) == Circle(x=0.5, y=0.5, r=0.1)
    assert TypeAdapter(Mark).validate_python({"x": 0.5, "y": 0.5, "w": 0.1, "h": 0.2}) == Box(
        x=0.5, y=0.5, w=0.1, h=0.2
    )
    assert TypeAdapter(Check).validate_python("good") is CheckResult.GOOD
    assert TypeAdapter(Check).validate_python({"finding": "good"}) == CheckNote(finding=CheckResult.GOOD)
    assert TypeAdapter(Discard).validate_python("not marked") == "not marked"
    assert TypeAdapter(Discard).validate_python("26 mm").millimetres == 26


def test_a_record_written_out_is_read_back_the_same():
    vehicle = a_vehicle()
    assert VehicleRecord.model_validate_json(vehicle.model_dump_json(), strict=True) == vehicle
