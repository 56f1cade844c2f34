"""Compose the files of one vehicle in one language: its page, its share picture, and its printed sheets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sitegen.pages.frame.addresses import (
    Address,
    disclosure_sheet_page,
    mechanic_sheet_page,
    record_file,
    vehicle_page,
    window_sheet_page,
)
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.page import DataFile, Page, Piece, page_of
from sitegen.pages.inventory.comparison import comparison_link
from sitegen.pages.kept.changes_file import KeptVehicle, changes_data, gone_data, keep_links, moved_data
from sitegen.pages.material import Material
from sitegen.pages.print.mechanic_sheet import mechanic_sheet
from sitegen.pages.print.sheet_links import sheet_links
from sitegen.pages.print.sheets import disclosure_sheet, window_sheet
from sitegen.pages.sold import is_long_sold, sold_notice
from sitegen.pages.vehicle.condition_page import condition_page
from sitegen.pages.vehicle.film import film_json_ld
from sitegen.pages.vehicle.identity import distance_words, price_words, vehicle_name
from sitegen.pages.vehicle.record_json import Proof
from sitegen.pages.vehicle.shared import json_ld
from sitegen.pages.vehicle.shared.share_card import share_card, share_drawing, share_figures, share_image
from sitegen.pages.vehicle.views import VehicleViews
from sitegen.records.store import miles_a_year
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord


def vehicle_pieces(
    record: VehicleRecord, around: Surroundings, material: Material, near: Sequence[VehicleRecord] = ()
) -> Iterator[Piece]:
    """Yield a vehicle's page, its share picture and its printed sheets.

    The page of a sold vehicle links to the vehicles in `near`.
    """
    translator, settings, condition = around.translator, around.settings, material.conditions[record.stock]
    at = vehicle_page(record.stock, around.language_folder)
    a_year = miles_a_year(settings, material.figures.region.average_a_year.value)
    versions = material.versions.get(record.stock, ())
    told = VehicleViews(record, condition, material.pictures, material.vocabulary, translator, at)
    view = condition_page(told, a_year, versions, around)
    card = share_card(record, view.identity.name, share_figures(view, around.translator), material.pictures, around)
    yield share_drawing(card)
    thing = json_ld.car(record, told.damages, material.pictures, at, settings, translator)
    film = film_json_ld(record, around.store.film_of(record.stock), at, settings, translator, vehicle_name(record))
    forgotten = is_long_sold(record, settings, around.today)
    frame = around.frame(
        at,
        translator.say("condition.title", vehicle=vehicle_name(record), stock=record.stock),
        f"{_offer(record, around)}. {' '.join(map(str, view.summary))}",
        json_ld=json_ld.as_script({**thing, "subjectOf": film} if film else thing),
        share_image=share_image(card, around),
        kept_from_search=forgotten,
    )
    views = {
        "page": view,
        "sold": sold_notice(record, near, at, around),
        "sheets": sheet_links(record, material.proofs[record.stock], at, around),
        "compare": comparison_link(at, record.stock, around.language_folder),
        "keep": keep_links(at, record.stock, material.version(record.stock), around.language_folder, translator),
    }
    yield page_of(around, frame, at, "pages/condition.html", views, listed=not forgotten)
    yield from _sheets(told, material.proofs[record.stock], around)
    if versions:
        yield changes_data(_kept(record, material, around), versions, around.language_folder, translator)


def record_data(record: VehicleRecord, material: Material) -> DataFile:
    """Return the file with a vehicle's disclosed facts. There is one for all languages."""
    return DataFile(record_file(record.stock), material.facts[record.stock])


def former_data(around: Surroundings, material: Material) -> Iterator[DataFile]:
    """Yield the changes file of each vehicle that has another stock number now, or no page."""
    records = [vehicle.record for vehicle in around.store.vehicles]
    former = {old: record.stock for record in records for old in record.formerly}
    moved = {old: now for old, now in {**material.renamed, **former}.items() if now in material.facts}
    for stock in sorted({*material.ever, *moved} - material.facts.keys()):
        if stock in moved:
            yield moved_data(stock, moved[stock], around.language_folder)
        else:
            yield gone_data(stock, around.language_folder, around.translator)


def _kept(record: VehicleRecord, material: Material, around: Surroundings) -> KeptVehicle:
    """Return a vehicle, with its first photo, as the list that a shopper keeps shows it."""
    photo = record.photos[0] if record.photos else None
    return KeptVehicle(
        record.stock,
        vehicle_name(record),
        _offer(record, around),
        material.pictures.of(record.stock, photo.file) if photo else None,
        around.translator.text(photo.shows) if photo else None,
    )


def _offer(record: VehicleRecord, around: Surroundings) -> str:
    """Return the day of sale in words, or else price and distance driven."""
    translator = around.translator
    if record.status is Status.SOLD and record.sold_on:
        return translator.say("kept.sold_on", on=record.sold_on)
    told = [price_words(record, translator), distance_words(record, translator)]
    if record.status is Status.ON_HOLD:
        told.insert(0, translator.choice("status", record.status))
    return translator.listed_plainly(told)


def _sheets(told: VehicleViews, proof: Proof, around: Surroundings) -> Iterator[Page]:
    """Yield a vehicle's printed sheets."""
    record, folder = told.record, around.language_folder
    window = window_sheet(told, around)
    yield _sheet("window", record, window_sheet_page(record.stock, folder), window, around)
    disclosure = disclosure_sheet(told, proof, around)
    yield _sheet("disclosure", record, disclosure_sheet_page(record.stock, folder), disclosure, around)
    mechanic = mechanic_sheet(told, around)
    yield _sheet("mechanic", record, mechanic_sheet_page(record.stock, folder), mechanic, around)


def _sheet(name: str, record: VehicleRecord, at: Address, view: object, around: Surroundings) -> Page:
    about = {"vehicle": vehicle_name(record), "stock": record.stock}
    title = around.translator.say(f"sheets.{name}_title", **about)
    description = around.translator.say(f"sheets.{name}_description", **about)
    frame = around.frame(at, title, description, kept_from_search=True)
    return page_of(around, frame, at, f"pages/{name}-sheet.html", {"page": view}, listed=False)
