"""The lists that a shopper can walk through without scripts: all vehicles, and those of a body, a make, a price band.

A list has at most 24 cards on a page; its further pages are at `page-2/` and so on. A list without a vehicle is none.
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
"""Whole rows of two, three or four cards; on a phone some 22,000 pixels, as far as a thumb goes."""

FEWEST_TO_CHOOSE_AMONG = 5
"""Fewer vehicles are seen at a glance: they are neither narrowed nor parted by body, make and price."""
GROUPS = ("body", "make", "price")


@dataclass(frozen=True)
class VehicleList:
    """Some vehicles, the newest first, and what is said of them."""

    folder: str
    """In the site, without the language: empty for all vehicles, or such as browse/body-suv."""
    group: str
    """What it goes by: all, body, make or price."""
    name: str
    listings: tuple[Listing, ...]

    @cached_property
    def pages(self) -> Sequence[tuple[Listing, ...]]:
        """The vehicles of each page; a list of none has one page, which says so."""
        starts = range(0, max(len(self.listings), 1), MOST_ON_A_PAGE)
        return [self.listings[start : start + MOST_ON_A_PAGE] for start in starts]

    @cached_property
    def measured(self) -> int:
        """Of how many vehicles tread or lining was measured."""
        figures = [listing.figures for listing in self.listings]
        return sum(one.tread is not None or one.lining is not None for one in figures)

    def page_address(self, number: int, language_folder: str) -> Address:
        """Return the address of one page; numbers count from 1."""
        further = () if number == 1 else (f"page-{number}",)
        return Address(posixpath.join(language_folder, self.folder, *further, INDEX))


@dataclass(frozen=True)
class PriceBand:
    """Prices from `low`, and below `high`; without `high`, there is no upper end."""

    low: int
    high: int | None

    @property
    def slug(self) -> str:
        """How the band is called in an address."""
        if self.high is None:
            return f"price-{self.low}-and-up"
        return f"price-{self.low}-to-{self.high}" if self.low else f"price-under-{self.high}"

    def words(self, translator: Translator) -> str:
        """Name the band."""
        money = translator.formats.money
        if self.high is None:
            return translator.say("browse.price_and_up", low=money(self.low))
        if not self.low:
            return translator.say("browse.price_under", high=money(self.high))
        return translator.say("browse.price_between", low=money(self.low), high=money(self.high))


def every_list(
    listings: Iterable[Listing], price_bands: Sequence[int], translator: Translator
) -> tuple[VehicleList, ...]:
    """Return the list of all vehicles first, then the browsing lists that hold any, each group in its own order.

    `price_bands` are the prices, in the store's currency, at which one band ends and the next begins.
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
    return (everything, *(found for found in browsing if found.listings))


def _newest_first(found: Listing) -> tuple[int, str]:
    return -listed_day(found), found.record.stock


def listed_day(found: Listing) -> int:
    """Return the day a vehicle was listed, or else inspected, as a number that only grows."""
    return (found.record.listed_on or found.record.inspection.done_on).toordinal()


def _by_body(listings: Sequence[Listing], translator: Translator) -> Iterable[VehicleList]:
    for body in Body:
        chosen = tuple(found for found in listings if found.record.vehicle.body is body)
        slug = body.value.replace(" ", "-")
        yield VehicleList(f"browse/body-{slug}", "body", translator.choice("body", body), chosen)


def _by_make(listings: Sequence[Listing]) -> Iterable[VehicleList]:
    by_slug: dict[str, list[Listing]] = {}
    for found in listings:
        by_slug.setdefault(address_word(found.record.vehicle.make), []).append(found)
    for slug, chosen in sorted(by_slug.items()):
        yield VehicleList(f"browse/make-{slug}", "make", chosen[0].record.vehicle.make, tuple(chosen))


def _by_price(
    listings: Sequence[Listing], price_bands: Sequence[int], translator: Translator
) -> Iterable[VehicleList]:
    bands = [PriceBand(low, high) for low, high in pairwise((0, *price_bands))]
    for band in (*bands, PriceBand(price_bands[-1], None)):
        chosen = tuple(found for found in listings if _is_in(band, found))
        yield VehicleList(f"browse/{band.slug}", "price", band.words(translator), chosen)


def _is_in(band: PriceBand, found: Listing) -> bool:
    price = found.record.price
    return price is not None and price >= band.low and (band.high is None or price < band.high)


def address_word(name: str) -> str:
    """Return a name as part of an address: "Alto Vé" is alto-ve."""
    plain = "".join(sign for sign in unicodedata.normalize("NFKD", name) if not unicodedata.combining(sign))
    return re.sub(r"[\W_]+", "-", plain.casefold()).strip("-")
