"""Composes what lists the vehicles: the index, its further pages, and the pages by body, make and price."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from sitegen.condition.basis.findings import Condition
from sitegen.pages.frame.addresses import CSV_FILE, JSON_FILE, vehicle_page
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.theme import Renderer
from sitegen.pages.inventory.card import listing
from sitegen.pages.inventory.comparison import comparison_address, comparison_page
from sitegen.pages.inventory.data_page import data_address, data_page
from sitegen.pages.inventory.exports import inventory_csv, inventory_json
from sitegen.pages.inventory.filters import filter_form
from sitegen.pages.inventory.lists import every_list
from sitegen.pages.inventory.page import for_sale, inventory_page_view
from sitegen.pages.inventory.rows import row_files
from sitegen.pages.vehicle import json_ld
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.figures import Figures
from sitegen.records.reference import Vocabulary


def inventory_pages(
    conditions: Mapping[str, Condition],
    pictures: Pictures,
    vocabulary: Vocabulary,
    around: Surroundings,
    renderer: Renderer,
) -> Iterator[tuple[str, bytes]]:
    """Render every list of vehicles in one language, as pairs of file and bytes."""
    translator, settings = around.translator, around.settings
    listings = [
        listing(record, conditions[record.stock], vocabulary, around) for record in for_sale(around.store, conditions)
    ]
    lists = every_list(listings, settings.price_bands, translator)
    if around.translator.language == settings.first_language:
        yield JSON_FILE, inventory_json(lists[0].listings, pictures, around)
        yield CSV_FILE, inventory_csv(lists[0].listings, around)
    rows = row_files(listings, pictures, translator)
    yield from rows.items()
    form = filter_form(listings, rows, pictures, lists[0].page_address(1, around.language_folder), around)
    for shown in lists:
        for number, on_page in enumerate(shown.pages(), start=1):
            at = shown.page_address(number, around.language_folder)
            is_home = shown is lists[0] and number == 1
            view = inventory_page_view(shown, number, lists, form if is_home else None, pictures, around)
            frame = around.frame(at, view.title, f"{view.title}. {view.counted}")
            listed = json_ld.item_list(
                [found.record for found in on_page],
                [vehicle_page(found.record.stock, around.language_folder) for found in on_page],
                settings,
            )
            frame = replace(frame, json_ld=json_ld.as_script(listed))
            yield at.file, renderer.page("pages/inventory.html", frame=frame, page=view)


def data(around: Surroundings, renderer: Renderer) -> tuple[str, bytes]:
    """Render the page about what the site offers to machines."""
    at, translator = data_address(around.language_folder), around.translator
    frame = around.frame(at, translator.say("data.heading"), translator.say("data.introduction"))
    return at.file, renderer.page("pages/data.html", frame=frame, page=data_page(around))


def comparison(figures: Figures, around: Surroundings, renderer: Renderer) -> tuple[str, bytes]:
    """Render the page that sets vehicles side by side."""
    at, translator = comparison_address(around.language_folder), around.translator
    frame = around.frame(at, translator.say("compare.heading"), translator.say("compare.introduction"))
    return at.file, renderer.page("pages/compare.html", frame=frame, page=comparison_page(figures, around))
