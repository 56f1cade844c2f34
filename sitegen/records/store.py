"""The store's settings and price list, and the store as a whole after it has been read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum
from functools import cache, cached_property
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Final
from zoneinfo import available_timezones

from pydantic import AfterValidator, Field, StringConstraints

from sitegen.records.base import Language, LocalizedText, Record, Shape, input_error
from sitegen.records.film import ClipFiles, ShownFilm
from sitegen.records.money.buying import BuyingCosts
from sitegen.records.money.prices import PriceList
from sitegen.records.quantities import Distance
from sitegen.records.theme import ThemeData
from sitegen.records.trip.hours import Hours
from sitegen.records.vehicle import Name
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.permissions import USUAL_CHANGES, Change


class Region(StrEnum):
    """The region whose inspection limits and units apply. Each has a file in `content/reference/regions/`."""

    UNITED_STATES = "us"
    GREAT_BRITAIN = "gb"
    EUROPEAN_UNION = "eu"


_zones = cache(available_timezones)
"""The names of all time zones. Cached, because listing them takes 50 ms."""


def _known_zone(name: str) -> str:
    if name not in _zones():
        near = get_close_matches(name, _zones(), n=1)
        mend = f'did you mean "{near[0]}"?' if near else "write the continent, a slash and a large city nearby"
        raise input_error("a time zone of the tz database (America/Chicago)", mend)
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
        raise input_error("prices that rise (5000, 10000, 15000)", "write the lowest first, and each once")
    return edges


PriceBands = Annotated[
    tuple[Annotated[int, Field(ge=1, le=9_999_999)], ...], Field(min_length=1), AfterValidator(_rising)
]


class PictureFormat(StrEnum):
    """A picture format that is offered besides JPEG."""

    AVIF = "avif"
    WEBP = "webp"


def _each_once(formats: tuple[PictureFormat, ...]) -> tuple[PictureFormat, ...]:
    if len(set(formats)) < len(formats):
        raise input_error("each format once (avif, webp)", "take out the one that stands twice")
    return formats


def _widening(widths: tuple[int, ...]) -> tuple[int, ...]:
    if any(narrow >= wide for narrow, wide in pairwise(widths)):
        raise input_error("widths that rise (320, 640, 1200)", "write the narrowest first, and each once")
    return widths


class PictureSettings(Record):
    """Formats and widths of the pictures made of each photo.

    Two JPEG files are always added: one for older browsers, one for zooming in.
    """

    formats: Annotated[tuple[PictureFormat, ...], Field(min_length=1), AfterValidator(_each_once)] = (
        PictureFormat.AVIF,
    )
    """In order of preference: a browser takes the first that it supports."""
    widths: Annotated[
        tuple[Annotated[int, Field(ge=160, le=2048)], ...], Field(min_length=1), AfterValidator(_widening)
    ] = (320, 480, 640, 800, 1200, 1600)
    """In pixels. 800 and 1200 are a phone's width at pixel densities 2 and 3."""


Currency = Annotated[str, Shape("[A-Z]{3}", "a currency code of ISO 4217 (USD)", "write its three capital letters")]


class Location(Record):
    """One of several places where a group has vehicles."""

    name: Name
    """Name that a vehicle's `location` refers to."""
    address: Annotated[tuple[Name, ...], Field(min_length=1)]
    """Postal address, line by line."""
    phone: Telephone
    """Telephone number with country code."""
    text_messages: Telephone | None = None
    """Number that takes text messages, if one does."""
    email: Email | None = None
    """Email address. Without it, that of the store."""
    hours: Hours = ()
    """Opening hours here. Without them, those of the store."""


FORMAT: Final = 2
"""The format of a store's folder that this version reads."""


class InboxSettings(Record):
    """Where files that people send are taken in, and what they may change."""

    folder: Annotated[str, StringConstraints(min_length=1, max_length=400)] = "inbox"
    """The folder, inside the store's folder unless its path is absolute. A phone's file sync may fill it."""
    may_change: tuple[Change, ...] = USUAL_CHANGES
    """What a file may change without being asked. A file that changes anything else is refused. Price, status,
    promises and corrections only if they are listed."""


class SiteSettings(Record):
    """Contents of `site.yaml`."""

    format: int = 1
    """Format of the store's folder. This version of sitegen reads format 2; `sitegen convert` converts format 1."""
    name: Name
    """Name of the store."""
    address: Annotated[tuple[Name, ...], Field(min_length=1)]
    """The postal address, line by line."""
    phone: Telephone
    """Telephone number with country code: +1 202 555 0142."""
    text_messages: Telephone | None = None
    """Number that takes text messages, if there is one."""
    email: Email | None = None
    """Email address of the store, if it wants to show one."""
    hours: Hours = ()
    """Opening hours. Days that are not listed are not shown."""
    locations: tuple[Location, ...] = ()
    """Places of a group that has several. A vehicle's `location` names one of them."""
    base_address: WebAddress
    """Web address where the site will be published, such as https://www.ferrow-lane.example/cars/."""
    currency: Currency
    """ISO 4217 code, such as USD."""
    languages: Annotated[tuple[Language, ...], Field(min_length=1)]
    """Languages of the site. Plain strings in the store's files are in the first of them."""
    time_zone: TimeZone
    """Time zone of the store; it decides which day it is."""
    region: Region
    miles_a_year: Annotated[int, Field(ge=1_000, le=40_000)] | None = None
    """Yearly mileage that the outlook assumes. Without it, the national average applies."""
    stale_after_days: Annotated[int, Field(ge=1, le=3_650)] = 120
    """Age in days from which the inspection of a vehicle on offer gets a warning."""
    show_preparing: bool = False
    """Whether vehicles in preparation are listed as coming soon. Without it they are not on the site."""
    sold_noindex_after_days: Annotated[int, Field(ge=0, le=3_650)] = 90
    """Days after a sale from which search engines are asked to drop the vehicle's page. The page stays."""
    demo: bool = False
    """Whether every page says that the store is invented."""
    theme: Name = "daylight"
    """Name of the theme, a folder of `themes/`."""
    price_bands: PriceBands = (5_000, 10_000, 15_000, 20_000, 30_000, 50_000)
    """Prices, in the store's currency, at which the pages by price begin a new band."""
    pictures: PictureSettings = PictureSettings()
    """Pictures that are made of each photo."""
    inbox: InboxSettings = InboxSettings()
    """How files that people send are taken in."""
    costs: BuyingCosts = BuyingCosts()
    """What a buyer pays besides the price."""
    introduction: LocalizedText | None = None
    """One or two sentences under the store's name on the inventory page."""

    def at(self, location: str | None) -> SiteSettings:
        """Return the settings with the address, telephone, email and hours of one location.

        Returns the settings unchanged if the store has no location of that name.
        """
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


@dataclass(frozen=True)
class OwnPage:
    """A page that the store has written itself, in Markdown."""

    slug: str
    language: str
    title: str
    markdown: str


@dataclass(frozen=True)
class StoredVehicle:
    """A vehicle's record, the folder of its files, and its filmed walk-around."""

    record: VehicleRecord
    folder: Path
    inspection_file: str
    """Path of its `inspection.yaml` relative to the store's folder, for messages."""
    clips: tuple[ClipFiles, ...] = ()
    """The files of each clip of the film, in the order of the record."""
    film: ShownFilm | None = None
    """The film as it is published, once the build has made it."""


@dataclass(frozen=True)
class Store:
    """All data read from a store's folder."""

    folder: Path
    settings: SiteSettings
    prices: PriceList | None
    vehicles: tuple[StoredVehicle, ...]
    own_pages: tuple[OwnPage, ...]
    theme: ThemeData

    def film_of(self, stock: str) -> ShownFilm | None:
        """Return the film of a vehicle as it is published, or None."""
        return self._films.get(stock)

    @cached_property
    def _films(self) -> Mapping[str, ShownFilm]:
        return {vehicle.record.stock: vehicle.film for vehicle in self.vehicles if vehicle.film is not None}


def miles_a_year(settings: SiteSettings, national_average: Distance) -> Distance:
    """Return the yearly distance that the outlook assumes: the store's setting, or the national average."""
    return Distance.of_miles(settings.miles_a_year) if settings.miles_a_year else national_average
