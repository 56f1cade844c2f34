"""Compose a site from the results of the engine's tasks."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from datetime import date
from functools import lru_cache

from sitegen.commands.tasks.guard import map_vehicles
from sitegen.commands.tasks.inputs import ASSETS, LOOK, TRANSLATOR
from sitegen.commands.tasks.pages import published_versions, similar_vehicles, vehicle_pages
from sitegen.commands.tasks.record import record_json
from sitegen.engine.engine import Engine
from sitegen.engine.mapping import Executors
from sitegen.engine.results import Results
from sitegen.ledger.version_history import PublishedVersion
from sitegen.pages.composing import compose_site, surroundings_in_each_language
from sitegen.pages.frame.theme import theme_of
from sitegen.pages.inventory.page import for_sale
from sitegen.pages.material import Material
from sitegen.pages.nearness import Nearness
from sitegen.pages.site import Site
from sitegen.records.store import Store
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord

_HELD = 16
"""The number of vehicles whose bytes are held in memory. Each has several files."""


def site_of(
    store: Store,
    material: Material,
    versions_of: Callable[[VehicleRecord, str], tuple[PublishedVersion, ...]],
    earlier: Collection[str],
    listed: Mapping[str, date | None],
    engine: Engine,
    executors: Executors,
) -> Site:
    """Return the site of a store. See `compose_site` for the arguments that it shares.

    `versions_of` returns the published versions of a record, the last of which has the given SHA-256.
    """
    nearness = Nearness(for_sale(store, material.conditions))
    for record in material.published(store):
        stock, is_sold = record.stock, record.status is Status.SOLD
        engine.give(published_versions, stock, versions_of(record, engine.digest(record_json, stock)))
        engine.give(similar_vehicles, stock, [near.stock for near in nearness.to(record)] if is_sold else [])
    map_vehicles(engine, vehicle_pages, material.facts, executors)
    vehicles = Results(engine, vehicle_pages, material.facts)

    @lru_cache(_HELD)
    def content(stock: str) -> bytes:
        return engine.kept_file(vehicle_pages, stock, vehicles[stock].content)

    theme_name = store.settings.theme
    theme = theme_of(engine.loaded(LOOK, theme_name), engine.loaded(ASSETS, theme_name))
    spoken = surroundings_in_each_language(
        store, theme, engine.day, lambda language: engine.loaded(TRANSLATOR, language)
    )
    return compose_site(store, material, spoken, vehicles, content, earlier, listed)
