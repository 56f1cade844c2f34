"""Composes what lists the vehicles: the index, its further pages, and the pages by body, make and price."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from sitegen.condition.findings import Condition
from sitegen.pages import linked_data
from sitegen.pages.addresses import vehicle_page
from sitegen.pages.comparison_page import comparison_address, comparison_page
from sitegen.pages.data_page import data_address, data_page
from sitegen.pages.frames import Surroundings
from sitegen.pages.inventory_data import CSV_FILE, JSON_FILE, inventory_csv, inventory_json
from sitegen.pages.inventory_filters import filter_form
from sitegen.pages.inventory_lists import every_list
from sitegen.pages.inventory_page import for_sale, inventory_page_view
from sitegen.pages.inventory_rows import row_files
from sitegen.pages.themes import Renderer
from sitegen.pages.vehicle_card import listing
from sitegen.photos.pictures import Pictures
from sitegen.records.figures import Figures
from sitegen.records.reference import Catalogues


def inventory_pages(
    conditions: Mapping[str, Condition],
    pictures: Pictures,
    catalogues: Catalogues,
    around: Surroundings,
    renderer: Renderer,
) -> Iterator[tuple[str, bytes]]:
    """Render every list of vehicles in one language, as pairs of file and bytes."""
    voice, settings = around.voice, around.settings
    listings = [
        listing(record, conditions[record.stock], catalogues, around) for record in for_sale(around.store, conditions)
    ]
    lists = every_list(listings, settings.price_bands, voice)
    if around.voice.language == settings.first_language:
        yield JSON_FILE, inventory_json(lists[0].listings, pictures, around)
        yield CSV_FILE, inventory_csv(lists[0].listings, around)
    rows = row_files(listings, pictures, voice)
    yield from rows.items()
    form = filter_form(listings, rows, pictures, lists[0].page_address(1, around.language_folder), around)
    for shown in lists:
        for number, on_page in enumerate(shown.pages(), start=1):
            at = shown.page_address(number, around.language_folder)
            is_home = shown is lists[0] and number == 1
            view = inventory_page_view(shown, number, lists, form if is_home else None, pictures, around)
            frame = around.frame(at, view.title, f"{view.title}. {view.counted}")
            listed = linked_data.item_list(
                [found.record for found in on_page],
                [vehicle_page(found.record.stock, around.language_folder) for found in on_page],
                settings,
            )
            frame = replace(frame, linked_data=linked_data.as_script(listed))
            yield at.file, renderer.page("pages/inventory.html", frame=frame, page=view)


def data(around: Surroundings, renderer: Renderer) -> tuple[str, bytes]:
    """Render the page about what the site offers to machines."""
    at, voice = data_address(around.language_folder), around.voice
    frame = around.frame(at, voice.say("data.heading"), voice.say("data.introduction"))
    return at.file, renderer.page("pages/data.html", frame=frame, page=data_page(around))


def comparison(figures: Figures, around: Surroundings, renderer: Renderer) -> tuple[str, bytes]:
    """Render the page that sets vehicles side by side."""
    at, voice = comparison_address(around.language_folder), around.voice
    frame = around.frame(at, voice.say("compare.heading"), voice.say("compare.introduction"))
    return at.file, renderer.page("pages/compare.html", frame=frame, page=comparison_page(figures, around))
