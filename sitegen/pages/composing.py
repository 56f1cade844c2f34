"""Composes the whole site: every page in every language, its assets and pictures, and not yet anywhere."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from sitegen.condition.findings import Condition
from sitegen.pages.addresses import inventory_page, own_page, vehicle_page
from sitegen.pages.condition_page import condition_page
from sitegen.pages.formats import Formats
from sitegen.pages.frames import Surroundings
from sitegen.pages.identity import vehicle_name
from sitegen.pages.inventory_page import inventory_page_view
from sitegen.pages.own_pages import own_page_view
from sitegen.pages.site import Site
from sitegen.pages.themes import Theme, read_theme
from sitegen.pages.voice import Voice
from sitegen.pages.words import read_words
from sitegen.photos.pictures import Pictures
from sitegen.records.figures import DistanceUnit, Figures, TreadUnit
from sitegen.records.inspection import VehicleRecord
from sitegen.records.reference import Catalogues
from sitegen.records.store import Store, miles_a_year
from sitegen.records.vehicle import Status
from sitegen.shared_data import content_folder, themes_folder


def compose_site(
    store: Store,
    conditions: Mapping[str, Condition],
    pictures: Pictures,
    catalogues: Catalogues,
    figures: Figures,
    today: date,
) -> Site:
    """Return every page and file of the site. `conditions` holds the vehicles that may be published, by stock."""
    theme = read_theme(store.settings.theme, themes_folder(), store.folder)
    pages: dict[str, bytes] = dict(theme.assets)
    for language in store.settings.languages:
        around = _surroundings(store, theme, language, figures, today)
        pages.update(_pages(around, conditions, pictures, catalogues, figures))
    files = {f"pictures/{name}": path for name, path in pictures.files().items()}
    return Site(pages=pages, files=files)


def _surroundings(store: Store, theme: Theme, language: str, figures: Figures, today: date) -> Surroundings:
    settings, units = store.settings, figures.region.units
    formats = Formats(
        language=language,
        currency=settings.currency,
        tread_in_thirty_seconds=units.tread is TreadUnit.THIRTY_SECONDS,
        distance_in_miles=units.distance is DistanceUnit.MILES,
    )
    voice = Voice(read_words(content_folder(), language), formats, settings.first_language)
    folder = "" if language == settings.first_language else language
    return Surroundings(store, theme, voice, folder, today)


def _pages(
    around: Surroundings,
    conditions: Mapping[str, Condition],
    pictures: Pictures,
    catalogues: Catalogues,
    figures: Figures,
) -> Iterator[tuple[str, bytes]]:
    """Render every page of one language."""
    voice, settings = around.voice, around.settings
    renderer = around.theme.speaking(voice.words)

    index = inventory_page(around.language_folder)
    listing = inventory_page_view(conditions, pictures, catalogues, index, around)
    frame = around.frame(index, settings.name, listing.counted)
    yield index.file, renderer.page("pages/inventory.html", frame=frame, page=listing)

    a_year = miles_a_year(settings, figures.region.average_a_year.value)
    for record in _published(around.store, conditions):
        at = vehicle_page(record.stock, around.language_folder)
        view = condition_page(record, conditions[record.stock], pictures, catalogues, a_year, at, around)
        title = voice.say("condition.title", vehicle=vehicle_name(record), stock=record.stock)
        frame = around.frame(at, title, " ".join(view.summary))
        yield at.file, renderer.page("pages/condition.html", frame=frame, page=view)

    for page in around.own_pages():
        at = own_page(page.slug, around.language_folder)
        frame = around.frame(at, page.title, voice.say("own.description", title=page.title, store=settings.name))
        yield at.file, renderer.page("pages/own.html", frame=frame, page=own_page_view(page, around))


def _published(store: Store, conditions: Mapping[str, Condition]) -> Iterator[VehicleRecord]:
    for vehicle in store.vehicles:
        if vehicle.record.stock in conditions and vehicle.record.status is not Status.PREPARING:
            yield vehicle.record
