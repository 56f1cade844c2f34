"""The store's own settings and price list, and a store as a whole once it has been read."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from difflib import get_close_matches
from enum import StrEnum
from functools import cache, cached_property
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Any
from zoneinfo import available_timezones

from pydantic import AfterValidator, Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import core_schema

from sitegen.records.base import Language, LocalizedText, Record, Shape, misread
from sitegen.records.everyday import AMOUNT_PATTERN, read_amount
from sitegen.records.quantities import Distance
from sitegen.records.theme import ThemeData
from sitegen.records.vehicle import Name
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.walk_around import Footage


class Region(StrEnum):
    """Whose inspection figures and units apply; each is a file in content/reference/regions/."""

    UNITED_STATES = "us"
    GREAT_BRITAIN = "gb"
    EUROPEAN_UNION = "eu"


_zones = cache(available_timezones)
"""Looked for on the disk once: that takes 50 ms."""


def _known_zone(name: str) -> str:
    if name not in _zones():
        near = get_close_matches(name, _zones(), n=1)
        mend = f'did you mean "{near[0]}"?' if near else "write the continent, a slash and a large city nearby"
        raise misread("a time zone of the tz database (America/Chicago)", mend)
    return name


TimeZone = Annotated[str, AfterValidator(_known_zone)]
Telephone = Annotated[
    str,
    Shape(
        r"\+[1-9][0-9 -]{6,18}[0-9]",
        "a telephone number with its country code (+1 202 555 0142)",
        "begin with + and the country code, and use only digits, spaces and hyphens",
    ),
]
WebAddress = Annotated[
    str,
    Shape(
        r"https?://[^\s/?#]+(/[^\s?#]*)?",
        "a web address (https://www.ferrow-lane.example/cars/)",
        "begin with https:// and leave out spaces, ? and #",
    ),
]
Email = Annotated[
    str,
    Shape(r"[^@\s]+@[^@\s]+\.[^@\s]+", "an email address (sales@ferrow-lane.example)", "check the @ and the dots"),
]


def _rising(edges: tuple[int, ...]) -> tuple[int, ...]:
    if any(low >= high for low, high in pairwise(edges)):
        raise misread("prices that rise (5000, 10000, 15000)", "write the lowest first, and each once")
    return edges


PriceBands = Annotated[
    tuple[Annotated[int, Field(ge=1, le=9_999_999)], ...], Field(min_length=1), AfterValidator(_rising)
]


class PictureFormat(StrEnum):
    """A format that pictures are offered in, besides JPEG, which every browser knows."""

    AVIF = "avif"
    WEBP = "webp"


def _each_once(formats: tuple[PictureFormat, ...]) -> tuple[PictureFormat, ...]:
    if len(set(formats)) < len(formats):
        raise misread("each format once (avif, webp)", "take out the one that stands twice")
    return formats


def _widening(widths: tuple[int, ...]) -> tuple[int, ...]:
    if any(narrow >= wide for narrow, wide in pairwise(widths)):
        raise misread("widths that rise (320, 640, 1200)", "write the narrowest first, and each once")
    return widths


class PictureSettings(Record):
    """Which pictures are made of each photo, besides two in JPEG: one for older browsers, one for looking closely."""

    formats: Annotated[tuple[PictureFormat, ...], Field(min_length=1), AfterValidator(_each_once)] = (
        PictureFormat.AVIF,
    )
    """Best first: a browser takes the first that it knows."""
    widths: Annotated[
        tuple[Annotated[int, Field(ge=160, le=2048)], ...], Field(min_length=1), AfterValidator(_widening)
    ] = (320, 480, 640, 800, 1200, 1600)
    """In pixels. For places from 170 CSS pixels on; 800 and 1200 are a phone's width at densities 2 and 3."""


Currency = Annotated[str, Shape("[A-Z]{3}", "a currency code of ISO 4217 (USD)", "write its three capital letters")]


class OpeningHours(Record):
    """Opening hours, as the page should say them."""

    days: LocalizedText
    hours: LocalizedText


class Location(Record):
    """One of several places where a group has vehicles."""

    name: Name
    """What a vehicle's `location` names."""
    address: Annotated[tuple[Name, ...], Field(min_length=1)]
    phone: Telephone
    text_messages: Telephone | None = None
    email: Email | None = None
    hours: tuple[OpeningHours, ...] = ()


class SiteSettings(Record):
    """What `site.yaml` holds."""

    name: Name
    address: Annotated[tuple[Name, ...], Field(min_length=1)]
    """The postal address, line by line."""
    phone: Telephone
    """With country code: +1 202 555 0142."""
    text_messages: Telephone | None = None
    """Number that takes text messages, if one does."""
    email: Email | None = None
    hours: tuple[OpeningHours, ...] = ()
    locations: tuple[Location, ...] = ()
    """The places of a group that has several; a vehicle's `location` then names one of them."""
    base_address: WebAddress
    """Where the site will be on the web, such as https://www.ferrow-lane.example/cars/."""
    currency: Currency
    """ISO 4217 code, such as USD."""
    languages: Annotated[tuple[Language, ...], Field(min_length=1)]
    """The first is the store's own: plain strings in its files are in it."""
    time_zone: TimeZone
    region: Region
    miles_a_year: Annotated[int, Field(ge=1_000, le=40_000)] | None = None
    """Miles a year the outlook starts from; without it, the national average."""
    stale_after_days: Annotated[int, Field(ge=1, le=3_650)] = 120
    """An older inspection of a vehicle that is offered is warned of."""
    show_preparing: bool = False
    """Lists vehicles in preparation as coming soon; without it, they are not on the site."""
    sold_noindex_after_days: Annotated[int, Field(ge=0, le=3_650)] = 90
    """After this many days, search engines are asked to forget the page of a sold vehicle. The page stays."""
    demo: bool = False
    """Says on every page that the store is invented."""
    theme: Name = "daylight"
    price_bands: PriceBands = (5_000, 10_000, 15_000, 20_000, 30_000, 50_000)
    """Prices, in the store's currency, at which one band of the pages by price ends and the next begins."""
    pictures: PictureSettings = PictureSettings()
    """Which pictures are made of each photo."""
    introduction: LocalizedText | None = None
    """A sentence or two under the store's name on the inventory page."""

    def at(self, location: str | None) -> SiteSettings:
        """Return the settings as they hold at one location: its address, its telephone, its hours."""
        place = next((place for place in self.locations if place.name == location), None)
        if place is None:
            return self
        changes = {
            "address": (place.name, *place.address),
            "phone": place.phone,
            "text_messages": place.text_messages,
            "email": place.email or self.email,
            "hours": place.hours or self.hours,
            "locations": (),
        }
        return self.model_copy(update=changes)

    @property
    def first_language(self) -> str:
        """The language that the store's own files are written in."""
        return self.languages[0]


_AMOUNT = AMOUNT_PATTERN.removeprefix("^").removesuffix("$")
_PRICE_RANGE = rf"(?P<low>{_AMOUNT})(\s*([-–]|\bto\b)\s*(?P<high>{_AMOUNT}))?"


@dataclass(frozen=True)
class PriceRange:
    """What a service costs at this store, from low to high, in the store's currency."""

    low: Decimal
    high: Decimal

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Validate from `65-95`, from `$1,200 to $1,500`, or from one number."""
        expected = "a price range (65-95), or one price (80)"

        def read(value: Any) -> PriceRange:
            if isinstance(value, PriceRange):
                return value
            match = re.fullmatch(_PRICE_RANGE, str(value).strip())
            if match is None:
                mend = "write two whole amounts with a hyphen between, or one"
                raise misread(expected, mend)
            low, high = (read_amount(amount) for amount in (match["low"], match["high"] or match["low"]))
            if high < low:
                mend = f"write the lower amount first: {high}-{low}"
                raise misread(expected, mend)
            return cls(low, high)

        return core_schema.no_info_plain_validator_function(
            read,
            serialization=core_schema.plain_serializer_function_ser_schema(lambda price: f"{price.low}-{price.high}"),
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Describe the written form."""
        pattern = re.sub(r"\?P<\w+>", "", _PRICE_RANGE)  # a schema's patterns have no such names
        return {"anyOf": [{"type": "number"}, {"type": "string", "pattern": f"^{pattern}$"}]}


class PriceList(Record):
    """What `services.yaml` holds: what this store's shop charges, by service."""

    prices: dict[str, PriceRange]
    as_of: LocalizedText | None = None
    """When these prices were last looked at, in words."""


@dataclass(frozen=True)
class OwnPage:
    """A page that the store wrote itself, in Markdown."""

    slug: str
    language: str
    title: str
    markdown: str


@dataclass(frozen=True)
class StoredVehicle:
    """A vehicle's record, and the folder that its photos are in."""

    record: VehicleRecord
    folder: Path
    inspection_file: str
    """Path of its `inspection.yaml`, relative to the store's folder, for messages."""
    footage: Footage | None = None
    """The files of its filmed walk-around, if there is one."""
    read_from: str | None = None
    """The digest of all that the record was read from; None where that is not known."""


@dataclass(frozen=True)
class Store:
    """Everything that was read from a store's folder."""

    folder: Path
    settings: SiteSettings
    prices: PriceList | None
    vehicles: tuple[StoredVehicle, ...]
    own_pages: tuple[OwnPage, ...]
    theme: ThemeData

    def footage_of(self, stock: str) -> Footage | None:
        """Return the filmed walk-around of a vehicle, if it has one."""
        return self._footage.get(stock)

    def read_from(self, stock: str) -> str | None:
        """Return the digest of all that a vehicle's record was read from; None where that is not known."""
        return self._read_from.get(stock)

    @cached_property
    def _read_from(self) -> Mapping[str, str | None]:
        return {found.record.stock: found.read_from for found in self.vehicles}

    @cached_property
    def _footage(self) -> Mapping[str, Footage]:
        return {found.record.stock: found.footage for found in self.vehicles if found.footage is not None}


def miles_a_year(settings: SiteSettings, national_average: Distance) -> Distance:
    """Return the yearly distance that the outlook starts from."""
    return Distance.of_miles(settings.miles_a_year) if settings.miles_a_year else national_average
