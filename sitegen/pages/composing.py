"""Composes the whole site: every page in every language, its assets and pictures, and not yet anywhere.

A page is composed as a value, rendered at once, and let go: a large store's pages do not all lie in memory as values.
What the sitemap and the notices need to know of them is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from pathlib import Path
from urllib.parse import urlsplit

from sitegen.condition.basis.limits import marks
from sitegen.memory import BuildMemory
from sitegen.pages.composing_vehicle import former_data, record_data
from sitegen.pages.feeds import News, atom_feed, robots, sitemap
from sitegen.pages.frame.addresses import (
    FEED_FILE,
    NOT_FOUND_FILE,
    ROBOTS_FILE,
    SITEMAP_FILE,
    Address,
    language_folder,
    own_page,
    vehicle_page,
)
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.page import (
    EVERY_VEHICLE,
    DataFile,
    Page,
    Piece,
    RenderedPage,
    ShareDrawing,
    Source,
    page_of,
    rendered,
)
from sitegen.pages.frame.theme import Renderer, read_theme
from sitegen.pages.inventory.card import Listing
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
from sitegen.pages.remembering import listing_made
from sitegen.pages.site import Site
from sitegen.pages.vehicle.identity import vehicle_name
from sitegen.pages.vehicle.page_history import change_words
from sitegen.pages.vehicle.record_json import LEDGER_LINE_PLACEHOLDER
from sitegen.pages.vehicle.walk_around import video_digests, video_files
from sitegen.pages.vehicles_made import Means, vehicles_made
from sitegen.records.figures import Figures
from sitegen.records.store import Region, SiteSettings, Store
from sitegen.shared_data import content_folder
from sitegen.shelf import Shelf

Speak = Callable[[str], Translator]
"""What gives the translator into a language, by its code."""


def compose_site(
    store: Store,
    material: Material,
    today: date,
    speak: Speak,
    earlier: Collection[str] = (),
    listed: Collection[str] = (),
    means: Means | None = None,
) -> Site:
    """Return every page and file of the site. `material` holds the vehicles that may be published.

    `earlier` are the pages of earlier builds; where the site has one no more, a notice answers in its place. `listed`
    are pages that stay as they are, for the sitemap.
    """
    means = means or Means()
    spoken = surroundings_in_each_language(store, today, speak, means.templates)
    theme = spoken[0].theme
    renderers = {around.translator.language: theme.speaking(around.translator.catalog) for around in spoken}
    made = _Made(renderers, means.shelf)
    for name, content in theme.assets.items():
        made.shelf.put(name, content)
    listings: dict[str, list[Listing]] = {}
    for around in spoken:
        records = for_sale(store, material.conditions)
        found = [listing_made(record, around, material, means.memory) for record in records]
        listings[around.translator.language] = found
        made.take(_in_one_language(around, material, found))
        made.take(former_data(around, material))
        for pieces in vehicles_made(around, material, renderers[around.translator.language], means):
            made.take(pieces)
    made.take(_once(spoken[0], material, listings[spoken[0].translator.language]))
    in_sitemap = sorted({*made.listed, *map(Address, listed)}, key=lambda at: at.file)
    made.take([DataFile(SITEMAP_FILE, sitemap(in_sitemap, store.settings))])
    files = dict(_files_at_hand(store, material))
    made.take(notice_pages(earlier, {*made.shelf, *files}, material.renamed, spoken))
    lasting = frozenset({*theme.assets, *made.lasting})
    return Site(
        made.shelf,
        files,
        made.made_from,
        tuple(made.drawings.values()),
        lasting,
        material.pictures.folder,
        digests_of_films(store),
        made.shelf.imprints,
    )


@dataclass(frozen=True)
class _Made:
    """What is rendered so far, by path, and what is to be remembered of it."""

    renderers: Mapping[str, Renderer]
    """By language."""
    shelf: Shelf
    made_from: dict[str, frozenset[Source]] = field(default_factory=dict)
    listed: list[Address] = field(default_factory=list)
    drawings: dict[str, ShareDrawing] = field(default_factory=dict)
    lasting: set[str] = field(default_factory=set)

    def take(self, pieces: Iterable[Piece]) -> None:
        """Render what is a page, and keep what comes of every piece."""
        for composed in pieces:
            piece = rendered(composed, self.renderers[composed.language]) if isinstance(composed, Page) else composed
            match piece:
                case RenderedPage():
                    self.shelf.put(piece.address.file, piece.content)
                    self.made_from[piece.address.file] = piece.made_from
                    if piece.listed:
                        self.listed.append(piece.address)
                case DataFile():
                    self.shelf.put(piece.file, piece.content)
                    if piece.lasting:
                        self.lasting.add(piece.file)
                case ShareDrawing():
                    self.drawings[piece.file] = piece


def speaker(settings: SiteSettings, figures: Figures) -> Speak:
    """Return what gives the translator of a store into each language, whose words are read once."""
    return cache(lambda language: translator_for(language, settings, figures))


def translator_for(language: str, settings: SiteSettings, figures: Figures) -> Translator:
    """Return the translator of a store into one language. Raises OSError if there are no words in it."""
    formats = Formats(
        language=language,
        currency=settings.currency,
        units=figures.region.units,
        # The European Union is no country: there each language is written as in its own.
        territory=None if settings.region is Region.EUROPEAN_UNION else settings.region.upper(),
        marks=marks(figures),
    )
    return Translator(read_catalog(content_folder(), language, settings.region), formats, settings.first_language)


def surroundings_in_each_language(
    store: Store, today: date, speak: Speak, templates: BuildMemory | None = None
) -> list[Surroundings]:
    """Return what all pages of a language share, the store's first language first."""
    theme = read_theme(store, templates)
    return [
        Surroundings(store, theme, speak(language), language_folder(language, store.settings), today)
        for language in store.settings.languages
    ]


def _in_one_language(around: Surroundings, material: Material, listings: Sequence[Listing]) -> Iterator[Piece]:
    """Compose every page of one language but those of single vehicles."""
    shared = store_share_drawing(listings, material.pictures, around)
    image = shared[1] if shared else None
    if shared:
        yield shared[0]
    yield from inventory_pieces(listings, material.pictures, around, image)
    yield comparison(material.figures, around, image)
    yield kept_list(comparison_address(around.language_folder), around)
    yield data(around, image)
    yield from coming_soon_pages(around)
    for page in around.own_pages():
        at = own_page(page.slug, around.language_folder)
        description = around.translator.say("own.description", title=page.title, store=around.settings.name)
        frame = around.frame(at, page.title, description, share_image=image)
        view = own_page_view(page, around)
        yield page_of(around, frame, at, "pages/own.html", {"page": view}, EVERY_VEHICLE)


def _once(around: Surroundings, material: Material, listings: Sequence[Listing]) -> Iterator[Piece]:
    """Compose what stands once, in the first language: data, feed, robots.txt, the not-found page."""
    settings, translator = around.settings, around.translator
    yield from inventory_exports(listings, material.pictures, around)
    for record in material.published(around.store):
        yield record_data(record, material)
    title = translator.say("frame.title", page=translator.say("feed.title"), store=settings.name)
    news = list(_news(around, material, listings))
    ledger = translator.say("feed.ledger", line=LEDGER_LINE_PLACEHOLDER)
    yield DataFile(FEED_FILE, atom_feed(news, settings, translator.language, title, ledger))
    yield DataFile(ROBOTS_FILE, robots(settings))
    frame = around.frame(
        Address(NOT_FOUND_FILE),
        translator.say("not_found.heading"),
        translator.say("not_found.words"),
        kept_from_search=True,
        # A host serves this page at whatever address was asked for, so its links start from the site's own.
        # The base is a path, so that it is of the page's own origin, as the content security policy asks.
        base=urlsplit(Address("").canonical(settings.base_address)).path,
        # It stands once; the other languages are reached at their index.
        in_languages_of=Address("index.html"),
    )
    yield page_of(around, frame, Address(NOT_FOUND_FILE), "pages/not-found.html", {}, listed=False)


def _files_at_hand(store: Store, material: Material) -> Iterator[tuple[str, Path]]:
    """Yield the files that exist already, by path in the site: pictures and videos."""
    for name, path in material.pictures.files().items():
        yield f"pictures/{name}", path
    for vehicle in store.vehicles:
        if vehicle.footage is not None and vehicle.record.stock in material.conditions:
            yield from video_files(vehicle.footage)


def digests_of_films(store: Store) -> dict[str, str]:
    """Return the digest of each film and file of its cues, as they were read, by path in the site."""
    footage = [vehicle.footage for vehicle in store.vehicles if vehicle.footage is not None]
    return {path: digest for film in footage for path, digest in video_digests(film)}


def _news(around: Surroundings, material: Material, listings: Sequence[Listing]) -> Iterator[News]:
    """Tell of every vehicle's arrival, and of every change that its record lists."""
    translator = around.translator
    cards = {item.record.stock: item.card.defects for item in listings}
    for record in material.published(around.store):
        at, vehicle = vehicle_page(record.stock, around.language_folder), vehicle_name(record)
        arrived = translator.say("feed.arrived", vehicle=vehicle, stock=record.stock)
        standing = cards.get(record.stock) or translator.count("inventory.defects", len(record.defects))
        yield News(at, "arrived", record.listed_on or record.inspection.done_on, arrived, standing)
        for number, event in enumerate(record.history):
            what = translator.text(event.what).text
            title = translator.say("feed.changed", vehicle=vehicle, stock=record.stock, what=what)
            yield News(at, f"changed-{number}", event.on, title, what)
        for change in material.past.get(record.stock, ()):
            what = change_words(change, translator)
            title = translator.say("feed.changed", vehicle=vehicle, stock=record.stock, what=what)
            yield News(at, f"{change.on}-{change.kind}-{change.new}".replace(" ", "-"), change.on, title, what)
