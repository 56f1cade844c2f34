"""The task that makes a vehicle's pages and list entries, in every language."""

from __future__ import annotations

from pathlib import Path

from sitegen.commands.tasks.inputs import LOOK, OWN_PAGES, PRICES, TRANSLATOR, asset_names
from sitegen.commands.tasks.record import film_of, pictures_of, record_json, record_of
from sitegen.condition.judging import judge
from sitegen.engine.reader import Reader
from sitegen.engine.task import JSON, given, task, typed
from sitegen.ledger.version_history import PublishedVersion, versions
from sitegen.pages.composing import surroundings_in_each_language
from sitegen.pages.frame.theme import Assets, theme_of
from sitegen.pages.material import Material
from sitegen.pages.vehicle_pages import StoredContent, VehiclePages, vehicle_in_languages
from sitegen.photos.planning.pictures import Pictures
from sitegen.reading.vehicle_task import FIGURES, SETTINGS
from sitegen.records.store import Store, StoredVehicle, miles_a_year


@given(typed(tuple[PublishedVersion, ...]))
def published_versions() -> None:
    """All published versions of a vehicle, oldest first; the last is the one to publish now."""


@given(JSON)
def similar_vehicles() -> None:
    """The stock numbers to which the page of a sold vehicle links; none if it is not sold."""


@task(typed(VehiclePages), seconds=0.05, megabytes=8.0)
def vehicle_pages(read: Reader, stock: str) -> VehiclePages:
    """Make a vehicle's pages and list entries in every language. The bytes of all pages are stored as one file."""
    record, film = record_of(read, stock), read.result(film_of, stock)
    settings, prices = read.input(SETTINGS), read.input(PRICES)
    assert settings is not None
    figures, facts = read.input(FIGURES, settings.region.value), read.result(record_json, stock)
    stored = StoredVehicle(record, Path(stock), "", film=film)
    look, (folder, names) = read.input(LOOK, settings.theme), read.result(asset_names, settings.theme)
    store = Store(Path(), settings, prices, (stored,), read.input(OWN_PAGES), look.data)
    theme = theme_of(look, Assets(folder, dict.fromkeys(names, b"")))
    spoken = surroundings_in_each_language(
        store, theme, read.today, lambda language: read.input(TRANSLATOR, language)
    )
    past = versions(read.result(published_versions, stock), read.content, facts)
    condition = judge(record, figures, prices, miles_a_year(settings, figures.region.average_a_year.value))
    pictures = Pictures.of_one(stock, read.result(pictures_of, stock))
    material = Material({stock: condition}, pictures, figures, {stock: facts}, versions={stock: past})
    near = [record_of(read, other) for other in read.result(similar_vehicles, stock)]
    content = StoredContent()
    languages = vehicle_in_languages(record, material, spoken, near, content)
    return VehiclePages(languages, read.keep(content.joined()))
