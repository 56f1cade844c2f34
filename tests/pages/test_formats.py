"""Figures are written as readers expect them: checked against the browser's own number and date formats (ICU)."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from playwright.sync_api import Browser

from sitegen.pages.language.formats import Formats, language_name
from sitegen.records.base import PartialDate
from sitegen.records.quantities import Depth, Distance, Length, Temperature
from tests.builders import units_of

US = Formats("en", "USD", units=units_of("us"))
EU = Formats("en", "EUR", units=units_of("eu"))
SPANISH = Formats("es", "USD", units=units_of("us"), territory="US")
SPAIN = Formats("es", "EUR", units=units_of("eu"))
BRITAIN = Formats("en", "GBP", units=units_of("gb"), territory="GB")


# Conversions: NIST SP 811 (1 in = 25.4 mm exactly); 4.6 mm is 5.795/32 in, so 5.8, never 6.
@pytest.mark.parametrize(
    ("written", "shown"),
    [("7/32 in", "7/32 in"), ("4.6 mm", "5.8/32 in"), ("1.6 mm", "2/32 in"), ("6.5/32 in", "6.5/32 in")],
)
def test_tread_is_shown_in_thirty_seconds_to_a_tenth(written: str, shown: str):
    assert US.tread(Depth.parse(written)).replace("\u00a0", " ") == shown


@pytest.mark.parametrize(("written", "shown"), [("7/32 in", "5.6 mm"), ("2/32 in", "1.6 mm"), ("4.6 mm", "4.6 mm")])
def test_tread_is_shown_in_millimetres_where_the_region_reads_so(written: str, shown: str):
    assert EU.tread(Depth.parse(written)).replace("\u00a0", " ") == shown


def test_an_odometer_never_shows_more_than_was_driven():
    """49 CFR 580.5(c)(1): whole miles, no tenths."""
    assert US.distance(Distance.parse("98,450.7 mi")) == "98,450\u00a0mi"


def test_a_computed_distance_is_rounded():
    """41,533.3 mi in five years are 8,306.66 mi a year, which is nearer to 8,307."""
    assert US.distance(Distance.of_miles(Fraction(415_333, 50))) == "8,307\u00a0mi"


# 98,450 mi = 158,439.9168 km (pint 0.25.3; 1 mi = 1.609344 km exactly).
def test_miles_are_shown_in_kilometres_where_the_region_reads_so():
    assert EU.distance(Distance.parse("98,450 mi")) == "158,440\u00a0km"


def test_a_size_is_shown_in_both_units_where_people_think_in_inches():
    assert US.length(Length.parse("28 mm")) == "1.1\u00a0in (28\u00a0mm)"
    assert EU.length(Length.parse("12 cm")) == "12\u00a0cm"


# -34 °F is -36.67 °C: coolant table of an engine maker's manual, 50 % ethylene glycol.
def test_a_freezing_point_below_zero_keeps_its_sign():
    assert EU.quantity(Temperature.parse("-34 °F")) == "-37\u00a0°C"
    assert US.quantity(Temperature.parse("-37 °C")) == "-35\u00a0°F"


def test_a_month_is_not_shown_as_a_day():
    assert US.partial_date(PartialDate.parse("2023-03")) == "March 2023"
    assert SPANISH.partial_date(PartialDate.parse("2023")) == "2023"


@pytest.mark.parametrize("formats", [US, EU, SPANISH, SPAIN, BRITAIN])
def test_money_numbers_and_days_agree_with_the_browser(formats: Formats, browser: Browser):
    """Chromium's Intl (ICU, CLDR) and Babel (CLDR) are independent readers of the same conventions."""
    page = browser.new_page()
    asked = """([language, currency]) => ({
        whole: new Intl.NumberFormat(language, {style: 'currency', currency, maximumFractionDigits: 0})
            .format(113450),
        cents: new Intl.NumberFormat(language, {style: 'currency', currency}).format(113450.5),
        number: new Intl.NumberFormat(language).format(88900.5),
        day: new Intl.DateTimeFormat(language, {dateStyle: 'long', timeZone: 'UTC'}).format(new Date('2026-10-04')),
        month: new Intl.DateTimeFormat(language, {month: 'long', year: 'numeric', timeZone: 'UTC'})
            .format(new Date('2023-03-01')),
        languages: ['en', 'es'].map((tag) => new Intl.DisplayNames(language, {type: 'language'}).of(tag)),
    })"""
    said = page.evaluate(asked, [formats.locale_tag, formats.currency])
    page.close()
    assert said == {
        "whole": formats.money(113_450),
        "cents": formats.money(Decimal("113450.50")),
        "number": formats.number(Fraction(177801, 2), 1),
        "day": formats.day(date(2026, 10, 4)),
        "month": formats.partial_date(PartialDate.parse("2023-03")),
        "languages": [language_name(tag, formats.language) for tag in ("en", "es")],
    }


# CLDR: the United States write 88,900.5 in Spanish too, Spain 88.900,5; it has no Spanish of Great Britain.
def test_the_country_decides_how_a_language_is_written():
    assert SPANISH.locale_tag == "es-US"
    assert SPANISH.number(Fraction(177801, 2), 1) == "88,900.5"
    assert SPAIN.number(Fraction(177801, 2), 1) == "88.900,5"
    assert Formats("es", "GBP", units=units_of("gb"), territory="GB").locale_tag == "es"
