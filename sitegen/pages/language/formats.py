"""Format numbers, dates, money and quantities for a language and region.

Every quantity is formatted with its unit. Numbers, dates and money follow CLDR through Babel.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, time
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache, cached_property, lru_cache
from typing import TypeVar

from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_skeleton, format_time
from babel.numbers import format_currency, format_decimal
from babel.units import format_unit

from sitegen.records.base import PartialDate
from sitegen.records.figures import DistanceUnit, PressureUnit, RegionUnits, SizeUnit, TemperatureUnit, TreadUnit
from sitegen.records.quantities import (
    METRES_PER_MILE,
    MILLIMETRES_PER_INCH,
    CrankingCurrent,
    Depth,
    Distance,
    Energy,
    FilmThickness,
    Length,
    Pressure,
    Quantity,
    Share,
    Temperature,
    Voltage,
)

# A non-breaking space, so that a figure and its unit stay on one line.
_TIE = "\u00a0"
MOST_DECIMALS = 4
"""The largest number of decimals beyond the usual ones. No gauge reads finer."""

_LOOKS_LIKE = Fraction("0.2")
"""Depths that look alike when rounded to a tenth of a millimeter or of 1/32 in differ by less, in millimeters."""

_CACHE_SIZE = 1 << 16
"""Number of formatted figures that are cached, because the same figures occur on many pages."""

Kind = TypeVar("Kind", bound=Quantity)


@dataclass(frozen=True)
class Formats:
    """Formats figures for a language, a currency and a region's units."""

    language: str
    currency: str
    units: RegionUnits
    territory: str | None = None
    """The readers' country: Spanish is written 88,900.5 in the United States and 88.900,5 in Spain."""
    marks: tuple[Depth, ...] = ()
    """The limits of depths. A depth that differs from a limit is never rounded to look equal to it."""

    @property
    def tread_in_thirty_seconds(self) -> bool:
        """Whether tread is shown in 32nds of an inch rather than in millimeters."""
        return self.units.tread is TreadUnit.THIRTY_SECONDS

    @property
    def distance_in_miles(self) -> bool:
        """Whether distances are shown in miles rather than in kilometers."""
        return self.units.distance is DistanceUnit.MILES

    @cached_property
    def locale_tag(self) -> str:
        """The BCP 47 tag of language and country, or the language alone if CLDR has no such locale."""
        if self.territory and "-" not in self.language:
            tag = f"{self.language}-{self.territory}"
            try:
                Locale.parse(tag, sep="-")
            except UnknownLocaleError:
                return self.language
            return tag
        return self.language

    @cached_property
    def _locale(self) -> Locale:
        return _locale_of(self.locale_tag)

    def number(self, value: Fraction | Decimal | int, places: int = 0) -> str:
        """Return a number rounded half up to `places` decimals, without trailing zeros."""
        return _number(value, places, self.locale_tag)

    @property
    def currency_symbol(self) -> str:
        """The currency symbol in this locale, or the currency's code."""
        symbol: str = self._locale.currency_symbols.get(self.currency, self.currency)
        return symbol

    def money(self, amount: Decimal | Fraction | int) -> str:
        """Return an amount of money. Whole amounts are written without cents."""
        value = _rounded(amount, 2)
        pattern: str = self._locale.currency_formats["standard"].pattern
        if value == value.to_integral_value():
            pattern = pattern.replace(".00", "")
        return format_currency(value, self.currency, pattern, locale=self._locale, currency_digits=False)

    def money_range(self, low: Decimal | Fraction | int, high: Decimal | Fraction | int) -> str:
        """Return a range of money, or a single amount if both ends are equal."""
        return self.money(low) if low == high else f"{self.money(low)}–{self.money(high)}"

    def day(self, day: date) -> str:
        """Return a day with the month's name."""
        return format_date(day, "long", locale=self._locale)

    def partial_date(self, partial: PartialDate) -> str:
        """Return a day, a month or a year, as precise as the value."""
        if partial.earliest == partial.latest:
            return self.day(partial.earliest)
        skeleton = "yMMMM" if partial.earliest.month == partial.latest.month else "y"
        return format_skeleton(skeleton, partial.earliest, locale=self._locale)

    def month_of_year(self, day: date) -> str:
        """Return the month of a day and its year: `March 2027`, `marzo de 2027`."""
        return format_skeleton("yMMMM", day, locale=self._locale)

    def month(self, day: date) -> str:
        """Return the month of a day alone."""
        return format_date(day, "LLLL", locale=self._locale)

    def week_day(self, number: int) -> str:
        """Return the name of a day of the week. 0 is Monday."""
        name: str = self._locale.days["stand-alone"]["wide"][number]
        return name

    def time_of_day(self, moment: time) -> str:
        """Return a time of day: `9:30 AM`, `9:30`. A full hour on a clock of 12 hours has no minutes: `9 AM`."""
        pattern: str = self._locale.time_formats["short"].pattern
        if not moment.minute and "h" in pattern:
            pattern = pattern.replace(":mm", "")
        return format_time(moment, pattern, locale=self._locale).replace("\u202f", _TIE)

    def months(self, count: int) -> str:
        """Return a number of months with its unit: `1 month`, `16 months`."""
        return format_unit(count, "duration-month", "long", locale=self._locale)

    def duration(self, seconds: int) -> tuple[str, ...]:
        """Return a duration as parts to be joined as a list: `3 minutes`, `24 seconds`."""
        parts = ((seconds // 60, "duration-minute"), (seconds % 60, "duration-second"))
        return tuple(format_unit(count, unit, "long", locale=self._locale) for count, unit in parts if count)

    def distance(self, distance: Distance) -> str:
        """Return a distance in whole miles or kilometers.

        A reading in the same unit is truncated (49 CFR 580.5(c)(1): without tenths). Computed and converted distances
        are rounded half up.
        """
        metres = METRES_PER_MILE if self.distance_in_miles else Fraction(1000)
        unit = "mi" if self.distance_in_miles else "km"
        amount = distance.metres / metres
        return f"{self.number(math.floor(amount) if distance.written.endswith(unit) else amount)}{_TIE}{unit}"

    def odometer(self, reading: Distance) -> str:
        """Return an odometer reading as it was read, followed by its conversion if the region uses another unit.

        120,000 km in a region with miles is "120,000 km (74,565 mi)".
        """
        own = self.distance(reading)
        if self.distance_in_miles and reading.written.endswith("km"):
            return f"{self.number(math.floor(reading.kilometres))}{_TIE}km ({own})"
        if not self.distance_in_miles and reading.written.endswith("mi"):
            return f"{self.number(math.floor(reading.miles))}{_TIE}mi ({own})"
        return own

    def tread(self, depth: Depth) -> str:
        """Return a tread depth in 32nds of an inch or in millimeters, to a tenth: 4.6 mm is 5.8/32 in, not 6/32 in.

        More decimals are shown if it would look equal to a limit that it differs from: 1.59 mm for a limit of 1.6 mm.
        """
        return self._tread(depth)

    def lining(self, depth: Depth) -> str:
        """Return a thickness in millimeters: as precise as the reading, or to a tenth if it was read in inches."""
        return self._lining_as_read(depth, _read_in_millimetres(depth))

    def apart(self, figure: Kind, limit: Kind, write: Callable[[Kind, int], str]) -> str:
        """Return a figure with enough decimals to look different from a limit that it differs from.

        `write` formats a figure with a number of additional decimals.
        """
        limit_text = write(limit, 0)
        texts = (write(figure, finer) for finer in range(MOST_DECIMALS + 1))
        return next((text for text in texts if figure == limit or text != limit_text), write(figure, MOST_DECIMALS))

    @cached_property
    def _tread(self) -> Callable[[Depth], str]:
        return lru_cache(_CACHE_SIZE)(lambda depth: self._apart_from_marks(depth, self.tread_to))

    @cached_property
    def _lining_as_read(self) -> Callable[[Depth, bool], str]:
        """Return a function that formats a lining, with a cache.

        The cache key includes the unit of the reading, since equal depths are formatted by it.
        """
        return lru_cache(_CACHE_SIZE)(lambda depth, _: self._apart_from_marks(depth, self._lining))

    def _apart_from_marks(self, depth: Depth, write: Callable[[Depth, int], str]) -> str:
        near = [mark for mark in self.marks if 0 < abs(mark.millimetres - depth.millimetres) < _LOOKS_LIKE]
        looked_like = [mark for mark in near if write(mark, 0) == write(depth, 0)]
        return self.apart(depth, looked_like[0], write) if looked_like else write(depth, 0)

    def tread_to(self, depth: Depth, finer: int) -> str:
        """Return a tread depth with `finer` more decimals than a tenth."""
        if self.tread_in_thirty_seconds:
            return f"{self.number(depth.thirty_seconds, 1 + finer)}/32{_TIE}in"
        return f"{self.number(depth.millimetres, 1 + finer)}{_TIE}mm"

    def _lining(self, depth: Depth, finer: int) -> str:
        places = 2 if _read_in_millimetres(depth) else 1
        return f"{self.number(depth.millimetres, places + finer)}{_TIE}mm"

    def length(self, length: Length) -> str:
        """Return the size of a defect: in inches with the metric size in parentheses, or metric only."""
        if self.units.size is SizeUnit.INCHES:
            inches = length.millimetres / MILLIMETRES_PER_INCH
            metric = self._metric_length(length)
            return f"{self.number(inches, 1)}{_TIE}in ({metric})"
        return self._metric_length(length)

    def _metric_length(self, length: Length) -> str:
        if length.millimetres < 100:
            return f"{self.number(length.millimetres)}{_TIE}mm"
        return f"{self.number(length.millimetres / 10)}{_TIE}cm"

    def share(self, share: Fraction, finer: int = 0) -> str:
        """Return a share in percent: whole from 10 % up, to a tenth below, and to a hundredth below 0.1 %."""
        percent = share * 100
        places = 0 if percent >= 10 else 1 if percent >= Fraction(1, 10) else 2
        return f"{self.number(percent, places + finer)}{_TIE}%"

    def quantity(self, quantity: Quantity, finer: int = 0) -> str:
        """Return a quantity in the region's unit for its kind, with `finer` more decimals than usual.

        Distances and lengths, such as the size of a defect, ignore `finer`. Raises TypeError for a kind of quantity
        without a format.
        """
        match quantity:
            case Distance():
                return self.distance(quantity)
            case Depth():
                return self._lining(quantity, finer) if finer else self.lining(quantity)
            case Length():
                return self.length(quantity)
            case Share():
                return self.share(quantity.amount, finer)
            case CrankingCurrent():
                return f"{self.number(quantity.amount, finer)}{_TIE}CCA"
            case Voltage():
                return f"{self.number(quantity.amount, 2 + finer)}{_TIE}V"
            case Energy():
                return f"{self.number(quantity.amount, 1 + finer)}{_TIE}kWh"
            case FilmThickness():
                return f"{self.number(quantity.amount, finer)}{_TIE}µm"
            case Pressure() if self.units.pressure is PressureUnit.PSI:
                return f"{self.number(quantity.amount / Pressure.units['psi'], finer)}{_TIE}psi"
            case Pressure():
                return f"{self.number(quantity.amount, finer)}{_TIE}kPa"
            case Temperature() if self.units.temperature is TemperatureUnit.FAHRENHEIT:
                return f"{self.number(quantity.amount * Fraction(9, 5) + 32, finer)}{_TIE}°F"
            case Temperature():
                return f"{self.number(quantity.amount, finer)}{_TIE}°C"
        raise TypeError(f"no way to write a {type(quantity).__name__}")


def _read_in_millimetres(depth: Depth) -> bool:
    return depth.written.endswith("mm")


@cache
def language_name(tag: str, language: str) -> str:
    """Return the name of a language in another language, as inside a sentence: `inglés`."""
    return Locale.parse(tag, sep="-").get_display_name(Locale.parse(language, sep="-")) or tag


def own_name(tag: str) -> str:
    """Return a language's own name for itself, as a label: `Español`."""
    return capitalized(language_name(tag, tag))


def capitalized(words: str) -> str:
    """Return words with the first letter in upper case, as at the beginning of a sentence."""
    return words[:1].upper() + words[1:]


@lru_cache(_CACHE_SIZE)
def _number(value: Fraction | Decimal | int, places: int, locale_tag: str) -> str:
    return format_decimal(_rounded(value, places), locale=_locale_of(locale_tag), decimal_quantization=False)


@cache
def _locale_of(tag: str) -> Locale:
    return Locale.parse(tag, sep="-")


def _rounded(value: Fraction | Decimal | int, places: int) -> Decimal:
    step = Decimal(1).scaleb(-places)
    exact = Fraction(value)
    decimal = Decimal(exact.numerator) / Decimal(exact.denominator)
    rounded = decimal.quantize(step, ROUND_HALF_UP)
    return rounded.to_integral_value() if rounded == rounded.to_integral_value() else rounded.normalize()
