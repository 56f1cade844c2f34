"""Figures as a reader of the language and region expects them: numbers, dates, money, units.

A figure never leaves here without its unit. Numbers, dates and money follow CLDR through Babel.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache, cached_property, lru_cache
from typing import TypeVar

from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_skeleton
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

# A space that does not break, so that a figure is never parted from its unit.
_TIE = "\u00a0"
MOST_DECIMALS = 4
"""No gauge reads finer than so many decimals beyond those that are usually shown."""

_LOOKS_LIKE = Fraction("0.2")
"""Depths that are written alike, to a tenth of a millimetre or of a 32nd, are less millimetres apart than this."""

_WRITTEN_BEFORE = 1 << 16
"""How many figures are kept as they were written, for the same ones come back on page after page."""

Kind = TypeVar("Kind", bound=Quantity)


@dataclass(frozen=True)
class Formats:
    """How figures are written: for a language, in a currency, with a region's units."""

    language: str
    currency: str
    units: RegionUnits
    territory: str | None = None
    """Country of the readers: Spanish is written 88,900.5 in the United States and 88.900,5 in Spain."""
    marks: tuple[Depth, ...] = ()
    """Depths that a reading is held against: one that differs from them is never written as if it were the same."""

    @property
    def tread_in_thirty_seconds(self) -> bool:
        """Whether tread is told in 32nds of an inch, and not in millimetres."""
        return self.units.tread is TreadUnit.THIRTY_SECONDS

    @property
    def distance_in_miles(self) -> bool:
        """Whether distances are told in miles, and not in kilometres."""
        return self.units.distance is DistanceUnit.MILES

    @cached_property
    def locale_tag(self) -> str:
        """Language and country as a tag (BCP 47), or the language alone where CLDR knows no such pair."""
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
        """Return a number rounded half up to so many places, without needless zeros."""
        return _number(value, places, self.locale_tag)

    @property
    def currency_symbol(self) -> str:
        """The sign of the currency as people write it here, or its code."""
        symbol: str = self._locale.currency_symbols.get(self.currency, self.currency)
        return symbol

    def money(self, amount: Decimal | Fraction | int) -> str:
        """Return an amount of money, without cents where there are none."""
        value = _rounded(amount, 2)
        pattern: str = self._locale.currency_formats["standard"].pattern
        if value == value.to_integral_value():
            pattern = pattern.replace(".00", "")
        return format_currency(value, self.currency, pattern, locale=self._locale, currency_digits=False)

    def money_range(self, low: Decimal | Fraction | int, high: Decimal | Fraction | int) -> str:
        """Return a range of money, or the one amount where both ends are equal."""
        return self.money(low) if low == high else f"{self.money(low)}–{self.money(high)}"

    def day(self, day: date) -> str:
        """Return a day, with the month spelt out."""
        return format_date(day, "long", locale=self._locale)

    def partial_date(self, partial: PartialDate) -> str:
        """Return a day, a month or a year, as precisely as it is known."""
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

    def months(self, count: int) -> str:
        """Return so many months in words: `1 month`, `16 months`."""
        return format_unit(count, "duration-month", "long", locale=self._locale)

    def duration(self, seconds: int) -> tuple[str, ...]:
        """Return how long something lasts, in parts for a list: `3 minutes`, `24 seconds`."""
        parts = ((seconds // 60, "duration-minute"), (seconds % 60, "duration-second"))
        return tuple(format_unit(count, unit, "long", locale=self._locale) for count, unit in parts if count)

    def distance(self, distance: Distance) -> str:
        """Return a distance driven, in whole miles or kilometres.

        A reading is told without its tenths (49 CFR 580.5(c)(1)); what was computed or converted is rounded half up.
        """
        metres = METRES_PER_MILE if self.distance_in_miles else Fraction(1000)
        unit = "mi" if self.distance_in_miles else "km"
        amount = distance.metres / metres
        return f"{self.number(math.floor(amount) if distance.written.endswith(unit) else amount)}{_TIE}{unit}"

    def tread(self, depth: Depth) -> str:
        """Return a tread depth in 32nds of an inch or in millimetres, to a tenth: 4.6 mm is 5.8/32 in, never 6.

        More decimals are shown where it would look like a mark that it is not: 1.59 mm, where 1.6 mm are asked for.
        """
        return self._tread(depth)

    def lining(self, depth: Depth) -> str:
        """Return a thickness in millimetres: as finely as it was read, or to a tenth where it was read in inches."""
        return self._lining_as_read(depth, _read_in_millimetres(depth))

    def apart(self, figure: Kind, limit: Kind, write: Callable[[Kind, int], str]) -> str:
        """Return a figure with as many more decimals as it takes to look different from a limit that it is not."""
        as_limit = write(limit, 0)
        written = (write(figure, finer) for finer in range(MOST_DECIMALS + 1))
        return next((text for text in written if figure == limit or text != as_limit), write(figure, MOST_DECIMALS))

    @cached_property
    def _tread(self) -> Callable[[Depth], str]:
        return lru_cache(_WRITTEN_BEFORE)(lambda depth: self._apart_from_marks(depth, self.tread_to))

    @cached_property
    def _lining_as_read(self) -> Callable[[Depth, bool], str]:
        """Depths that are equal are written alike only if they were read alike, so that is asked for besides."""
        return lru_cache(_WRITTEN_BEFORE)(lambda depth, _: self._apart_from_marks(depth, self._lining))

    def _apart_from_marks(self, depth: Depth, write: Callable[[Depth, int], str]) -> str:
        near = [mark for mark in self.marks if 0 < abs(mark.millimetres - depth.millimetres) < _LOOKS_LIKE]
        looked_like = [mark for mark in near if write(mark, 0) == write(depth, 0)]
        return self.apart(depth, looked_like[0], write) if looked_like else write(depth, 0)

    def tread_to(self, depth: Depth, finer: int) -> str:
        """Return a tread depth to so many more decimals than a tenth."""
        if self.tread_in_thirty_seconds:
            return f"{self.number(depth.thirty_seconds, 1 + finer)}/32{_TIE}in"
        return f"{self.number(depth.millimetres, 1 + finer)}{_TIE}mm"

    def _lining(self, depth: Depth, finer: int) -> str:
        places = 2 if _read_in_millimetres(depth) else 1
        return f"{self.number(depth.millimetres, places + finer)}{_TIE}mm"

    def length(self, length: Length) -> str:
        """Return the size of something seen, in the unit that people measure such a size with."""
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
        """Return a share of a whole in percent, to a tenth below ten: 2.5 % of water in a fluid is not 3 %."""
        percent = share * 100
        places = 0 if percent >= 10 else 1 if percent >= Fraction(1, 10) else 2
        return f"{self.number(percent, places + finer)}{_TIE}%"

    def quantity(self, quantity: Quantity, finer: int = 0) -> str:
        """Return a quantity in the unit of this language and region for its kind, to so many more decimals."""
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
    """Return the name of a language in another, or in itself, as inside a sentence: `inglés`."""
    return Locale.parse(tag, sep="-").get_display_name(Locale.parse(language, sep="-")) or tag


def own_name(tag: str) -> str:
    """Return what a language calls itself, as a label: `Español`."""
    return begun(language_name(tag, tag))


def begun(words: str) -> str:
    """Return words that stand as within a sentence as they stand at the beginning of one."""
    return words[:1].upper() + words[1:]


@lru_cache(_WRITTEN_BEFORE)
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
