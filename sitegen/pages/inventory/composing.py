"""Compose the pages and files that list vehicles: index, browsing lists, comparison, data page and exports."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sitegen.pages.frame.addresses import CSV_FILE, JSON_FILE, vehicle_page
from sitegen.pages.frame.frame import ShareImage, Surroundings
from sitegen.pages.frame.page import DataFile, Page, Piece, page_of
from sitegen.pages.inventory.card import Listing
from sitegen.pages.inventory.comparison import comparison_address, comparison_page
from sitegen.pages.inventory.data_page import data_address, data_page
from sitegen.pages.inventory.exports import inventory_csv, inventory_json
from sitegen.pages.inventory.filters import filter_form
from sitegen.pages.inventory.lists import every_list
from sitegen.pages.inventory.page import inventory_page_view
from sitegen.pages.inventory.rows import row_files
from sitegen.pages.vehicle.shared import json_ld
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.figures import Figures


def inventory_pieces(
    listings: Sequence[Listing], pictures: Pictures, around: Surroundings, image: ShareImage | None = None
) -> Iterator[Piece]:
    """Yield every list page of one language, and the row files that the filter script loads."""
    lists = every_list(listings, around.settings.price_bands, around.translator)
    rows = row_files(listings, pictures, around.translator)
    yield from (DataFile(file, content, lasting=True) for file, content in rows.items())
    form = filter_form(listings, rows, pictures, lists[0].page_address(1, around.language_folder), around)
    for shown in lists:
        for number, on_page in enumerate(shown.pages, start=1):
            at = shown.page_address(number, around.language_folder)
            is_home = shown is lists[0] and number == 1
            view = inventory_page_view(shown, number, lists, form if is_home else None, pictures, around)
            listed = json_ld.item_list(
                [item.record for item in on_page],
                [vehicle_page(item.record.stock, around.language_folder) for item in on_page],
                around.settings,
            )
            description = f"{view.title}. {view.counted}"
            frame = around.frame(at, view.title, description, json_ld=json_ld.as_script(listed), share_image=image)
            yield page_of(around, frame, at, "pages/inventory.html", {"page": view})


def inventory_exports(listings: Sequence[Listing], pictures: Pictures, around: Surroundings) -> Iterator[DataFile]:
    """Yield the exports of the vehicles for sale, in the order of the index.

    They exist in the first language only.
    """
    everything, *_ = every_list(listings, around.settings.price_bands, around.translator)
    yield DataFile(JSON_FILE, inventory_json(everything.listings, pictures, around))
    yield DataFile(CSV_FILE, inventory_csv(everything.listings, around))


def data(around: Surroundings, image: ShareImage | None) -> Page:
    """Compose the page that describes the site's data files."""
    at, translator = data_address(around.language_folder), around.translator
    frame = around.frame(at, translator.say("data.heading"), translator.say("data.introduction"), share_image=image)
    return page_of(around, frame, at, "pages/data.html", {"page": data_page(around)})


def comparison(figures: Figures, around: Surroundings, image: ShareImage | None) -> Page:
    """Compose the comparison page."""
    at, translator = comparison_address(around.language_folder), around.translator
    words = translator.say("compare.introduction")
    frame = around.frame(at, translator.say("compare.heading"), words, share_image=image, kept_from_search=True)
    views = {"page": comparison_page(figures, around)}
    return page_of(around, frame, at, "pages/compare.html", views, listed=False)
