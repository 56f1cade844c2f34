"""`sitegen sheet`: write the bay sheet to print and fill in by hand, blank or for one vehicle."""

from __future__ import annotations

import argparse

from sitegen.commands.shared.clock import UsageError, moment_of_build
from sitegen.commands.shared.desk import put_on_desk
from sitegen.commands.shared.store_day import today_of_store
from sitegen.commands.shared.terminal import Terminal, exit_code
from sitegen.pages.composing import translator_for
from sitegen.pages.frame.theme import read_theme
from sitegen.pages.print.bay_sheet import bay_sheet, render_bay_sheet
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.reference.vocabulary import read_vocabulary
from sitegen.reading.store import read_store
from sitegen.records.store import Store
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import content_folder


def sheet(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write the sheet in each of the store's languages. If a file of the store has an error, write nothing."""
    store, problems = read_store(arguments.store, today_of_store(arguments.store, moment_of_build()))
    if store is None or exit_code(problems):
        return terminal.tell(problems)
    record = _wanted(store, arguments.stock) if arguments.stock else None
    sheets = bay_sheets(store, record)
    folder = put_on_desk(arguments.store, "bay_sheets", arguments.to, sheets)
    for name in sheets:
        terminal.say(f"To print, on A4 or Letter: {folder / name}")
    return 0


def bay_sheets(store: Store, record: VehicleRecord | None) -> dict[str, bytes]:
    """Return the sheet in each of the store's languages by file name, such as `blank.en.html` or `K110.es.html`."""
    theme, vocabulary = read_theme(store), read_vocabulary(content_folder())
    figures = read_figures(content_folder(), store.settings.region)
    sheets = {}
    for language in store.settings.languages:
        translator = translator_for(language, store.settings, figures)
        view = bay_sheet(record, store.settings.name, vocabulary, theme.bodies, translator)
        name = f"{record.stock if record else 'blank'}.{language}.html"
        sheets[name] = render_bay_sheet(view, theme.speaking(translator.catalog))
    return sheets


def _wanted(store: Store, stock: str) -> VehicleRecord:
    for vehicle in store.vehicles:
        if vehicle.record.stock == stock:
            return vehicle.record
    known = ", ".join(vehicle.record.stock for vehicle in store.vehicles)
    raise UsageError(f"there is no vehicle {stock!r} in {store.folder}; there are {known or 'none yet'}")
