"""The lists that work without scripts: all vehicles, and the vehicles of each body, make and price band.

A list has at most 24 cards on a page. Its further pages are at `page-2/` and so on. Empty lists are left out.
"""

from __future__ import annotations

import posixpath
import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from sitegen.pages.frame.addresses import INDEX, Address
from sitegen.pages.inventory.card import Listing
from sitegen.pages.language.translator import Translator
from sitegen.records.vehicle import Body

MOST_ON_A_PAGE = 24
"""24 cards fill whole rows of two, three or four. On a phone such a page is about 22,000 pixels long."""

FEWEST_TO_CHOOSE_AMONG = 5
"""A store with fewer vehicles has neither filters nor lists by body, make and price."""
GROUPS = ("body", "make", "price")


@dataclass(frozen=True)
class VehicleList:
    """A list of vehicles, newest first, with its folder, group and name."""

    folder: str
    """The folder in the site, without the language: empty for all vehicles, else for example browse/body-suv."""
    group: str
    """The kind of list: all, body, make or price."""
    name: str
    listings: tuple[Listing, ...]

    @cached_property
    def pages(self) -> Sequence[tuple[Listing, ...]]:
        """The vehicles of each page. An empty list has one page without vehicles."""
        starts = range(0, max(len(self.listings), 1), MOST_ON_A_PAGE)
        return [self.listings[start : start + MOST_ON_A_PAGE] for start in starts]

    @cached_property
    def measured(self) -> int:
        """The number of vehicles with a measured tread or lining."""
        every = [listing.figures for listing in self.listings]
        return sum(figures.tread is not None or figures.lining is not None for figures in every)

    def page_address(self, number: int, language_folder: str) -> Address:
        """Return the address of one page. Page numbers count from 1."""
        further = () if number == 1 else (f"page-{number}",)
        return Address(posixpath.join(language_folder, self.folder, *further, INDEX))


@dataclass(frozen=True)
class PriceBand:
    """A price band: prices from `low` to below `high`. If `high` is None, there is no upper limit."""

    low: int
    high: int | None

    @property
    def slug(self) -> str:
        """The band's name in addresses."""
        if self.high is None:
            return f"price-{self.low}-and-up"
        return f"price-{self.low}-to-{self.high}" if self.low else f"price-under-{self.high}"

    def words(self, translator: Translator) -> str:
        """Return the band's name in the page's language."""
        money = translator.formats.money
        if self.high is None:
            return translator.say("browse.price_and_up", low=money(self.low))
        if not self.low:
            return translator.say("browse.price_under", high=money(self.high))
        return translator.say("browse.price_between", low=money(self.low), high=money(self.high))


def every_list(
    listings: Iterable[Listing], price_bands: Sequence[int], translator: Translator
) -> tuple[VehicleList, ...]:
    """Return the list of all vehicles, then the lists by body, make and price that are not empty.

    `price_bands` are the limits between bands, in the store's currency.
    """
    newest_first = tuple(sorted(listings, key=_newest_first))
    everything = VehicleList("", "all", translator.say("browse.all"), newest_first)
    if len(newest_first) < FEWEST_TO_CHOOSE_AMONG:
        return (everything,)
    browsing = (
        *_by_body(newest_first, translator),
        *_by_make(newest_first),
        *_by_price(newest_first, price_bands, translator),
    )
    return (everything, *(some for some in browsing if some.listings))


def _newest_first(item: Listing) -> tuple[int, str]:
    return -listed_day(item), item.record.stock


def listed_day(item: Listing) -> int:
    """Return the ordinal of the day on which a vehicle was listed, or else inspected (see `date.toordinal`)."""
    return (item.record.listed_on or item.record.inspection.done_on).toordinal()


def _by_body(listings: Sequence[Listing], translator: Translator) -> Iterable[VehicleList]:
    for body in Body:
        chosen = tuple(item for item in listings if item.record.vehicle.body is body)
        slug = body.value.replace(" ", "-")
        yield VehicleList(f"browse/body-{slug}", "body", translator.choice("body", body), chosen)


def _by_make(listings: Sequence[Listing]) -> Iterable[VehicleList]:
    by_slug: dict[str, list[Listing]] = {}
    for item in listings:
        by_slug.setdefault(address_word(item.record.vehicle.make), []).append(item)
    for slug, chosen in sorted(by_slug.items()):
        yield VehicleList(f"browse/make-{slug}", "make", chosen[0].record.vehicle.make, tuple(chosen))


def _by_price(
    listings: Sequence[Listing], price_bands: Sequence[int], translator: Translator
) -> Iterable[VehicleList]:
    bands = [PriceBand(low, high) for low, high in pairwise((0, *price_bands))]
    for band in (*bands, PriceBand(price_bands[-1], None)):
        chosen = tuple(item for item in listings if _is_in(band, item))
        yield VehicleList(f"browse/{band.slug}", "price", band.words(translator), chosen)


def _is_in(band: PriceBand, item: Listing) -> bool:
    price = item.record.price
    return price is not None and price >= band.low and (band.high is None or price < band.high)


def address_word(name: str) -> str:
    """Return a name as a slug for addresses: "Alto Vé" becomes alto-ve."""
    plain = "".join(sign for sign in unicodedata.normalize("NFKD", name) if not unicodedata.combining(sign))
    return re.sub(r"[\W_]+", "-", plain.casefold()).strip("-")
