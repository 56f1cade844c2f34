"""Composes the whole site: every page in every language, its assets and pictures, and not yet anywhere."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from sitegen.condition.basis.findings import Condition
from sitegen.pages.feeds import News, atom_feed, robots, sitemap
from sitegen.pages.frame.addresses import (
    FEED_FILE,
    NOT_FOUND_FILE,
    ROBOTS_FILE,
    SITEMAP_FILE,
    Address,
    disclosure_sheet_page,
    language_folder,
    own_page,
    record_file,
    vehicle_page,
    window_sheet_page,
)
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.theme import Renderer, Theme, read_theme
from sitegen.pages.inventory.comparison import comparison_link
from sitegen.pages.inventory.composing import comparison, data, inventory_pages
from sitegen.pages.inventory.page import for_sale
from sitegen.pages.language.catalog import read_catalog
from sitegen.pages.language.formats import Formats
from sitegen.pages.language.translator import Translator
from sitegen.pages.left_behind import coming_soon, left_behind
from sitegen.pages.own_pages import own_page_view
from sitegen.pages.print.sheets import disclosure_sheet, window_sheet
from sitegen.pages.site import Site
from sitegen.pages.vehicle import json_ld
from sitegen.pages.vehicle.condition_page import condition_page
from sitegen.pages.vehicle.identity import vehicle_name
from sitegen.pages.vehicle.record_json import canonical
from sitegen.pages.vehicle.share_card import share_picture
from sitegen.pages.vehicle.sold import is_long_sold, sold_notice
from sitegen.pages.vehicle.walk_around import video_files
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.figures import DistanceUnit, Figures, TreadUnit
from sitegen.records.reference import Vocabulary
from sitegen.records.store import Region, SiteSettings, Store, miles_a_year
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import content_folder, themes_folder

Piece = bytes | Path
"""What a file of the site is made of: bytes, or a file that exists already."""


@dataclass(frozen=True)
class Material:
    """What the pages are made from, besides the store itself."""

    conditions: Mapping[str, Condition]
    """Of the vehicles that may be published, by stock."""
    pictures: Pictures
    vocabulary: Vocabulary
    figures: Figures


def compose_site(
    store: Store,
    conditions: Mapping[str, Condition],
    pictures: Pictures,
    vocabulary: Vocabulary,
    figures: Figures,
    today: date,
    earlier: Collection[str] = (),
) -> Site:
    """Return every page and file of the site. `conditions` holds the vehicles that may be published, by stock.

    `earlier` are the pages of earlier builds; where the site has one no more, a notice answers in its place.
    """
    material = Material(conditions, pictures, vocabulary, figures)
    theme = read_theme(store.settings.theme, themes_folder(), store.folder)
    pieces: dict[str, Piece] = {f"pictures/{name}": path for name, path in pictures.files().items()}
    for vehicle in store.vehicles:
        if vehicle.footage is not None and vehicle.record.stock in conditions:
            pieces.update(video_files(vehicle.footage))
    pieces.update(theme.assets)
    spoken = [_surroundings(store, theme, language, figures, today) for language in store.settings.languages]
    for around in spoken:
        pieces.update(_pages(around, material))
    pieces.update(_for_machines(spoken[0], material, pieces))
    pieces.update(left_behind(earlier, pieces, spoken))
    return Site(
        pages={file: piece for file, piece in pieces.items() if isinstance(piece, bytes)},
        files={file: piece for file, piece in pieces.items() if isinstance(piece, Path)},
    )


def translator_for(language: str, settings: SiteSettings, figures: Figures) -> Translator:
    """Return the translator of a store into one language. Raises OSError if there are no words in it."""
    units = figures.region.units
    formats = Formats(
        language=language,
        currency=settings.currency,
        tread_in_thirty_seconds=units.tread is TreadUnit.THIRTY_SECONDS,
        distance_in_miles=units.distance is DistanceUnit.MILES,
        # The European Union is no country: there each language is written as in its own.
        territory=None if settings.region is Region.EUROPEAN_UNION else settings.region.upper(),
    )
    return Translator(read_catalog(content_folder(), language), formats, settings.first_language)


def _surroundings(store: Store, theme: Theme, language: str, figures: Figures, today: date) -> Surroundings:
    folder = language_folder(language, store.settings)
    return Surroundings(store, theme, translator_for(language, store.settings, figures), folder, today)


def _pages(around: Surroundings, material: Material) -> Iterator[tuple[str, Piece]]:
    """Render every page of one language, as pairs of file and bytes. Each vehicle's are those of its location."""
    renderer = around.theme.speaking(around.translator.catalog)
    yield from inventory_pages(material.conditions, material.pictures, material.vocabulary, around, renderer)
    yield comparison(material.figures, around, renderer)
    yield data(around, renderer)
    yield from coming_soon(around)
    for record in _published(around, material):
        yield from _vehicle(record, around.at(record.location), material, renderer)
    for page in around.own_pages():
        at = own_page(page.slug, around.language_folder)
        description = around.translator.say("own.description", title=page.title, store=around.settings.name)
        frame = around.frame(at, page.title, description)
        yield at.file, renderer.page("pages/own.html", frame=frame, page=own_page_view(page, around))


def _vehicle(
    record: VehicleRecord, around: Surroundings, material: Material, renderer: Renderer
) -> Iterator[tuple[str, Piece]]:
    translator, settings = around.translator, around.settings
    at = vehicle_page(record.stock, around.language_folder)
    a_year = miles_a_year(settings, material.figures.region.average_a_year.value)
    condition = material.conditions[record.stock]
    view = condition_page(record, condition, material.pictures, material.vocabulary, a_year, at, around)
    title = translator.say("condition.title", vehicle=vehicle_name(record), stock=record.stock)
    car = json_ld.car(record, material.pictures, at, settings, translator)
    frame = around.frame(at, title, " ".join(map(str, view.summary)))
    share = share_picture(record, view, material.pictures, around)
    frame = replace(frame, json_ld=json_ld.as_script(car), share_image=share.image)
    yield share.file, share.path
    frame = replace(frame, kept_from_search=is_long_sold(record, settings, around.today))
    sold = sold_notice(record, for_sale(around.store, material.conditions), at, around)
    compare = comparison_link(at, record.stock, around.language_folder)
    yield at.file, renderer.page("pages/condition.html", frame=frame, page=view, sold=sold, compare=compare)
    yield from _sheets(record, around, material, renderer)


def _sheets(
    record: VehicleRecord, around: Surroundings, material: Material, renderer: Renderer
) -> Iterator[tuple[str, bytes]]:
    """Render what is printed of a vehicle, and write its facts as data once, with the first language."""
    translator, folder = around.translator, around.language_folder
    condition, about = material.conditions[record.stock], {"vehicle": vehicle_name(record), "stock": record.stock}
    window = window_sheet(record, condition, material.vocabulary, around)
    disclosure = disclosure_sheet(record, condition, material.pictures, material.vocabulary, around)
    sheets = (
        ("window", window_sheet_page(record.stock, folder), window),
        ("disclosure", disclosure_sheet_page(record.stock, folder), disclosure),
    )
    for name, at, view in sheets:
        title = translator.say(f"sheets.{name}_title", **about)
        description = translator.say(f"sheets.{name}_description", **about)
        frame = replace(around.frame(at, title, description), kept_from_search=True)
        yield at.file, renderer.page(f"pages/{name}-sheet.html", frame=frame, page=view)
    if translator.language == around.settings.first_language:
        yield record_file(record.stock), canonical(record, around.settings)


def _for_machines(
    around: Surroundings, material: Material, pieces: Mapping[str, Piece]
) -> Iterator[tuple[str, bytes]]:
    """Make what stands once for the whole site: feed, sitemap, robots.txt and the not-found page."""
    settings, translator = around.settings, around.translator
    forgotten = tuple(
        f"vehicles/{vehicle.record.stock}/index.html"
        for vehicle in around.store.vehicles
        if is_long_sold(vehicle.record, settings, around.today)
    )
    listed = (file for file in sorted(pieces) if file.endswith("index.html") and not file.endswith(forgotten))
    addresses = [Address(file) for file in listed]
    title = translator.say("frame.title", page=translator.say("feed.title"), store=settings.name)
    yield FEED_FILE, atom_feed(list(_news(around, material)), settings, translator.language, title)
    yield SITEMAP_FILE, sitemap(addresses, settings)
    yield ROBOTS_FILE, robots(settings)
    frame = around.frame(
        Address(NOT_FOUND_FILE), translator.say("not_found.heading"), translator.say("not_found.words")
    )
    # A host serves this page at whatever address was asked for, so its links start from the site's own.
    frame = replace(frame, kept_from_search=True, base=Address("").canonical(settings.base_address))
    # It stands once, in the store's first language; the other languages are reached at their index.
    frame = replace(frame, languages=around.in_each_language(Address("index.html")))
    renderer = around.theme.speaking(translator.catalog)
    yield NOT_FOUND_FILE, renderer.page("pages/not-found.html", frame=frame)


def _news(around: Surroundings, material: Material) -> Iterator[News]:
    """Tell of every vehicle's arrival, and of every change that its record lists."""
    translator = around.translator
    for record in _published(around, material):
        at, vehicle = vehicle_page(record.stock, around.language_folder), vehicle_name(record)
        arrived = translator.say("feed.arrived", vehicle=vehicle, stock=record.stock)
        counted = translator.count("inventory.defects", len(record.defects))
        yield News(at, "arrived", record.listed_on or record.inspection.done_on, arrived, counted)
        for number, event in enumerate(record.history):
            what = translator.text(event.what).text
            title = translator.say("feed.changed", vehicle=vehicle, stock=record.stock, what=what)
            yield News(at, f"changed-{number}", event.on, title, what)


def _published(around: Surroundings, material: Material) -> Iterator[VehicleRecord]:
    for vehicle in around.store.vehicles:
        if vehicle.record.stock in material.conditions and vehicle.record.status is not Status.PREPARING:
            yield vehicle.record
