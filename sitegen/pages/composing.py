"""Compose the whole site: the stored pages of every vehicle, and every page and file that is about several vehicles.

Each page is rendered as soon as it is composed, because the pages of a large store do not fit into memory as values.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from pathlib import Path
from types import MappingProxyType
from urllib.parse import urlsplit

from sitegen.condition.basis.limits import marks
from sitegen.pages.composing_vehicle import former_data
from sitegen.pages.feeds import News, atom_feed, key_of, keys_in_order, robots, sitemap
from sitegen.pages.frame.addresses import (
    NOT_FOUND_FILE,
    ROBOTS_FILE,
    SITEMAP_FILE,
    Address,
    feed_file,
    inventory_page,
    language_folder,
    own_page,
    vehicle_page,
)
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.page import DataFile, Page, Piece, RenderedPage, ShareDrawing, page_of, rendered
from sitegen.pages.frame.theme import Renderer, Theme
from sitegen.pages.inventory.card import Listing, listing
from sitegen.pages.inventory.comparison import comparison_address
from sitegen.pages.inventory.composing import (
    comparison,
    data,
    inventory_exports,
    inventory_pieces,
)
from sitegen.pages.inventory.page import for_sale
from sitegen.pages.inventory.share_card import store_share_drawing
from sitegen.pages.kept.kept_list_page import kept_list
from sitegen.pages.language.catalog import read_catalog
from sitegen.pages.language.formats import Formats
from sitegen.pages.language.translator import Translator
from sitegen.pages.material import Material
from sitegen.pages.notice_pages import coming_soon_pages, notice_pages
from sitegen.pages.own_pages import own_page_view
from sitegen.pages.site import GeneratedFiles, Site
from sitegen.pages.vehicle.film import film_digests
from sitegen.pages.vehicle.identity import vehicle_name
from sitegen.pages.vehicle.page_history import change_words
from sitegen.pages.vehicle.record_json import LEDGER_LINE_PLACEHOLDER
from sitegen.pages.vehicle.shared import json_ld
from sitegen.pages.vehicle_pages import VehicleInLanguage, VehiclePages
from sitegen.records.figures import Figures
from sitegen.records.store import Region, SiteSettings, Store
from sitegen.shared_data import content_folder

ABOUT = "about"
"""The name of the store's own page about itself, on which search engines find its address and hours."""
Speak = Callable[[str], Translator]
"""A function that returns the translator into a language, given the language's tag."""


def compose_site(
    store: Store,
    material: Material,
    spoken: Sequence[Surroundings],
    vehicles: Mapping[str, VehiclePages],
    content: Callable[[str], bytes],
    earlier: Collection[str] = (),
    listed: Mapping[str, date | None] = MappingProxyType({}),
) -> Site:
    """Return every page and file of the site. `material` holds the vehicles that may be published.

    `spoken` are the surroundings of each language, the store's first language first. `vehicles` are the pages of each
    vehicle, and `content` returns their bytes. `earlier` are the pages of earlier builds; those that the site no
    longer has become notices. `listed` are pages that stay unchanged, with the days of their last changes, for the
    sitemap.
    """
    theme = spoken[0].theme
    renderers = {around.translator.language: theme.speaking(around.translator.catalog) for around in spoken}
    made = _Made(renderers, GeneratedFiles(content))
    for name, asset in theme.assets.items():
        made.files.put(name, asset)
    published, offered = list(material.published(store)), for_sale(store, material.conditions)
    listings: dict[str, list[Listing]] = {}
    for around in spoken:
        language = around.translator.language
        listings[language] = [
            listing(record, vehicles[record.stock].languages[language].listing) for record in offered
        ]
        made.take(_in_one_language(around, material, listings[language]))
        made.take(former_data(around, material))
        for record in published:
            own = vehicles[record.stock].languages[language]
            made.take_vehicle(record.stock, own, own.drawing(record, material.pictures, around.at(record.location)))
    made.take(_once(spoken[0], material, listings[spoken[0].translator.language]))
    in_sitemap = sorted({*made.listed, *map(Address, listed)}, key=lambda at: at.file)
    changed = {page: day for page, day in listed.items() if day} | dict(_last_changes(spoken, material))
    made.take([DataFile(SITEMAP_FILE, sitemap(in_sitemap, store.settings, changed))])
    files = dict(_files_at_hand(store, material))
    made.take(notice_pages(earlier, {*made.files, *files}, material.renamed, spoken))
    return Site(
        made.files,
        files,
        tuple(made.drawings.values()),
        frozenset({*theme.assets, *made.lasting}),
        material.pictures.folder,
        digests_of_films(store),
        made.files.digests,
    )


@dataclass(frozen=True)
class _Made:
    """The files that were made so far, with the data that the sitemap and the publication need."""

    renderers: Mapping[str, Renderer]
    """The renderer of each language."""
    files: GeneratedFiles
    listed: list[Address] = field(default_factory=list)
    drawings: dict[str, ShareDrawing] = field(default_factory=dict)
    lasting: set[str] = field(default_factory=set)

    def take(self, pieces: Iterable[Piece]) -> None:
        """Render each page, and add it and every other file."""
        for composed in pieces:
            piece = rendered(composed, self.renderers[composed.language]) if isinstance(composed, Page) else composed
            match piece:
                case RenderedPage():
                    self.files.put(piece.address.file, piece.content)
                    if piece.listed:
                        self.listed.append(piece.address)
                case DataFile():
                    self.files.put(piece.file, piece.content)
                    if piece.lasting:
                        self.lasting.add(piece.file)
                case ShareDrawing():
                    self.drawings[piece.file] = piece

    def take_vehicle(self, stock: str, own: VehicleInLanguage, drawing: ShareDrawing) -> None:
        """Add the files of a vehicle in one language."""
        for file in own.files:
            self.files.put_stored(stock, file)
        self.listed.extend(own.listed())
        self.drawings[drawing.file] = drawing


def speaker(settings: SiteSettings, figures: Figures) -> Speak:
    """Return a function that returns a store's translator into a language. Each language is read once."""
    return cache(lambda language: translator_for(language, settings, figures))


def translator_for(language: str, settings: SiteSettings, figures: Figures) -> Translator:
    """Return a store's translator into one language. Raises OSError if the language has no catalogs."""
    formats = Formats(
        language=language,
        currency=settings.currency,
        units=figures.region.units,
        # The European Union is not a country: each language is written as in its main country.
        territory=None if settings.region is Region.EUROPEAN_UNION else settings.region.upper(),
        marks=marks(figures),
    )
    return Translator(read_catalog(content_folder(), language, settings.region), formats, settings.first_language)


def surroundings_in_each_language(store: Store, theme: Theme, today: date, speak: Speak) -> list[Surroundings]:
    """Return the surroundings of the pages of each language, the store's first language first."""
    return [
        Surroundings(store, theme, speak(language), language_folder(language, store.settings), today)
        for language in store.settings.languages
    ]


def _in_one_language(around: Surroundings, material: Material, listings: Sequence[Listing]) -> Iterator[Piece]:
    """Yield every page of one language, except those of single vehicles."""
    shared = store_share_drawing(listings, material.pictures, around)
    image = shared[1] if shared else None
    if shared:
        yield shared[0]
    yield from inventory_pieces(listings, material.pictures, around, image)
    yield comparison(material.figures, around, image)
    yield kept_list(comparison_address(around.language_folder), around)
    yield _feed(around, material, listings)
    yield data(around, image)
    yield from coming_soon_pages(around)
    for page in around.own_pages():
        at = own_page(page.slug, around.language_folder)
        description = around.translator.say("own.description", title=page.title, store=around.settings.name)
        thing = json_ld.as_script(json_ld.dealer(around.settings)) if page.slug == ABOUT else None
        frame = around.frame(at, page.title, description, json_ld=thing, share_image=image)
        view = own_page_view(page, around)
        yield page_of(around, frame, at, "pages/own.html", {"page": view})


def _once(around: Surroundings, material: Material, listings: Sequence[Listing]) -> Iterator[Piece]:
    """Yield the files that exist once, in the first language: data, feed, robots.txt, the not-found page."""
    settings, translator = around.settings, around.translator
    yield from inventory_exports(listings, material.pictures, around)
    yield DataFile(ROBOTS_FILE, robots(settings))
    frame = around.frame(
        Address(NOT_FOUND_FILE),
        translator.say("not_found.heading"),
        translator.say("not_found.words"),
        kept_from_search=True,
        # A host serves this page at any requested address, so its links are relative to the site's address.
        # The base is a path, so that it has the page's origin, as the content security policy requires.
        base=urlsplit(Address("").canonical(settings.base_address)).path,
        # There is one page; its language links lead to the index of each other language.
        in_languages_of=Address("index.html"),
    )
    yield page_of(around, frame, Address(NOT_FOUND_FILE), "pages/not-found.html", {}, listed=False)


def _feed(around: Surroundings, material: Material, listings: Sequence[Listing]) -> DataFile:
    """Return the feed of a language."""
    settings, translator = around.settings, around.translator
    title = translator.say("frame.title", page=translator.say("feed.title"), store=settings.name)
    news = list(_news(around, material, listings))
    ledger = translator.say("feed.ledger", line=LEDGER_LINE_PLACEHOLDER)
    started = material.started or around.today
    content = atom_feed(news, settings, translator.language, title, ledger, started)
    return DataFile(feed_file(around.language_folder), content)


def _last_changes(spoken: Sequence[Surroundings], material: Material) -> Iterator[tuple[str, date]]:
    """Yield each page of a vehicle, and each index, with the day of its last change."""
    for around in spoken:
        latest = []
        for record in material.published(around.store):
            days = [
                record.inspection.done_on,
                record.listed_on,
                record.sold_on,
                *(each.on for each in record.history),
            ]
            days += [each.on for each in material.past.get(record.stock, ())]
            latest.append(max(day for day in days if day is not None))
            yield vehicle_page(record.stock, around.language_folder).file, latest[-1]
        if latest:
            yield inventory_page(around.language_folder).file, max(latest)


def _files_at_hand(store: Store, material: Material) -> Iterator[tuple[str, Path]]:
    """Yield the existing files to publish, pictures and films, by path in the site."""
    for name, path in material.pictures.files().items():
        yield f"pictures/{name}", path
    for vehicle in store.vehicles:
        if vehicle.film is not None and vehicle.record.stock in material.conditions:
            for name, digest in film_digests(vehicle.film):
                yield name, material.pictures.folder / digest


def digests_of_films(store: Store) -> dict[str, str]:
    """Return the digest of each file of films, by path in the site."""
    films = [vehicle.film for vehicle in store.vehicles if vehicle.film is not None]
    return {path: digest for film in films for path, digest in film_digests(film)}


def _news(around: Surroundings, material: Material, listings: Sequence[Listing]) -> Iterator[News]:
    """Yield a feed entry for each vehicle's arrival, and for each of its changes."""
    translator = around.translator
    cards = {item.record.stock: f"{item.card.defects} {item.card.papers}" for item in listings}
    for record in material.published(around.store):
        at, vehicle = vehicle_page(record.stock, around.language_folder), vehicle_name(record)
        first_at = vehicle_page(next(iter(record.formerly), record.stock), around.language_folder)
        arrived = translator.say("feed.arrived", vehicle=vehicle, stock=record.stock)
        # As on its card: brands and open recalls too.
        standing = cards.get(record.stock) or translator.count("inventory.defects", len(record.defects))
        yield News(at, first_at, "arrived", record.listed_on or record.inspection.done_on, arrived, standing)
        first_words = [event.what.best(around.settings.first_language, "")[0] for event in record.history]
        keys = [key_of(event.on, words) for event, words in zip(record.history, first_words, strict=True)]
        for key, event in zip(keys_in_order(keys), record.history, strict=True):
            what = translator.text(event.what).text
            title = translator.say("feed.changed", vehicle=vehicle, stock=record.stock, what=what)
            yield News(at, first_at, key, event.on, title, what)
        past = material.past.get(record.stock, ())
        keys = [f"{change.on}-{change.kind}-{change.new}".replace(" ", "-") for change in past]
        for key, change in zip(keys_in_order(keys), past, strict=True):
            what = change_words(change, translator)
            title = translator.say("feed.changed", vehicle=vehicle, stock=record.stock, what=what)
            yield News(at, first_at, key, change.on, title, what)
