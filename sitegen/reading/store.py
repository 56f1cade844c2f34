"""Read a whole store, and return all problems of all its files at once."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from sitegen.engine.engine import Engine
from sitegen.engine.mapping import HERE, Executors
from sitegen.reading.checks.dates import check_age_of_inspections
from sitegen.reading.checks.everyday import check_money_of_prices
from sitegen.reading.checks.settings import check_prices, check_settings
from sitegen.reading.checks.sheet import Standards
from sitegen.reading.checks.vehicle import check_across_vehicles
from sitegen.reading.every_vehicle import read_vehicles, standards_of
from sitegen.reading.own_pages import read_own_pages
from sitegen.reading.placeholders import check_page_placeholders, check_placeholders
from sitegen.reading.theme import read_theme_data
from sitegen.reading.validation.record_files import Reading, read_file
from sitegen.reading.validation.texts import check_languages
from sitegen.reading.vehicle_files import INSPECTION, VehicleFiles, read_vehicle
from sitegen.reading.yaml.marks import Marks
from sitegen.records.money.prices import PriceList
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import SiteSettings, Store, StoredVehicle
from sitegen.records.theme import ThemeData
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import content_folder, theme_folders, themes_folder


def read_store(
    folder: Path,
    today: date,
    *,
    leave_out_faulty: bool = False,
    engine: Engine | None = None,
    executors: Executors = HERE,
) -> tuple[Store | None, tuple[Problem, ...]]:
    """Return the store and every problem, sorted by place. File names are relative to `folder`.

    The store is None if any problem is an error; warnings do not count. Dates after `today` are errors.
    With `leave_out_faulty`, a vehicle with an error in its own files is left out and the store is still returned.
    With an `engine`, vehicles that did not change are not read; its `executors` read many in parallel.
    """
    if not folder.is_dir():
        return None, (_missing_folder(folder),)
    settings = read_file(SiteSettings, folder / "site.yaml", "site.yaml")
    prices = read_prices(folder)
    valid_settings = settings.sound_part
    standards = standards_of(valid_settings.region if valid_settings is not None else None, today)
    vehicles = tuple(read_vehicles(tuple(_vehicle_folders(folder)), valid_settings, standards, engine, executors))
    pages, page_problems = read_own_pages(folder, _languages(settings))
    theme, theme_problems = _read_theme(folder, settings)
    problems = {*settings.problems, *prices.problems, *page_problems, *theme_problems}
    for vehicle in vehicles:
        problems.update(vehicle.problems)
    if settings.record is not None:
        problems.update(check_placeholders(settings.record, settings.marks))
        problems.update(check_page_placeholders(settings.record, pages))
    problems.update(_cross_check(settings, prices, vehicles, standards))
    if not vehicles:
        expected = f"a folder for each vehicle, with its {INSPECTION}"
        mend = "make one, named by its stock number"
        problems.add(Problem("vehicles", 0, 0, "", "no vehicle", expected, mend, Severity.WARNING))
    sorted_problems = tuple(sorted(problems))
    files_with_errors = {problem.file for problem in sorted_problems if problem.severity is Severity.ERROR}
    faulty = [vehicle for vehicle in vehicles if any(vehicle.holds(file) for file in files_with_errors)]
    is_usable = (
        all(any(vehicle.holds(file) for vehicle in faulty) for file in files_with_errors)
        if leave_out_faulty
        else not files_with_errors
    )
    if settings.record is None or theme is None or not is_usable:
        return None, sorted_problems
    stored = tuple(
        StoredVehicle(record, vehicle.folder, vehicle.shown_as, vehicle.clips)
        for vehicle in vehicles
        if (record := vehicle.record) is not None and vehicle not in faulty
    )
    return Store(folder, settings.record, prices.record, stored, pages, theme), sorted_problems


def read_vehicle_alone(
    folder: Path, shown_as: str, settings: SiteSettings, today: date, inspection: str = INSPECTION
) -> tuple[VehicleRecord | None, tuple[Problem, ...]]:
    """Return the record of a vehicle that is not in the store yet, and every problem of its folder, sorted by place.

    `shown_as` names its `inspection` file in messages. The record is None if any problem is an error.
    """
    standards = standards_of(settings.region, today)
    vehicle = read_vehicle(folder, shown_as, settings, standards, inspection=inspection)
    is_wrong = any(problem.severity is Severity.ERROR for problem in vehicle.problems)
    return None if is_wrong else vehicle.record, vehicle.problems


def _missing_folder(folder: Path) -> Problem:
    expected = "a store's folder, which holds site.yaml and vehicles/"
    return Problem(folder.as_posix(), 0, 0, "", "no such folder", expected, "check the path")


def _languages(settings: Reading[SiteSettings]) -> tuple[str, ...]:
    """Return the site's languages, as far as the settings can be read; else an empty tuple."""
    if settings.sound_part is not None:
        return settings.sound_part.languages
    return settings.marks.texts(("languages",))


def _read_theme(folder: Path, settings: Reading[SiteSettings]) -> tuple[ThemeData | None, tuple[Problem, ...]]:
    """Return the data of the theme that the settings name, and its problems.

    None and no problems if they name no theme that exists.
    """
    if settings.sound_part is None or settings.sound_part.theme not in _themes_on_offer():
        return None, ()
    return read_theme_data(theme_folders(settings.sound_part.theme, folder))


def _themes_on_offer() -> set[str]:
    return {folder.name for folder in themes_folder().iterdir() if folder.is_dir()}


def read_prices(folder: Path) -> Reading[PriceList]:
    """Read the optional price list, `services.yaml`. Without the file, the reading has no record and no problems."""
    path = folder / "services.yaml"
    if not path.exists():
        return Reading(None, None, Marks(path.name, None), ())
    return read_file(PriceList, path, path.name, "delete it")


def _vehicle_folders(store: Path) -> Iterator[Path]:
    """Yield each vehicle's folder, by name. Names that begin with a dot are skipped."""
    vehicles = store / "vehicles"
    for folder in sorted(vehicles.iterdir()) if vehicles.is_dir() else ():
        if folder.is_dir() and not folder.name.startswith("."):
            yield folder


def _cross_check(
    settings: Reading[SiteSettings],
    prices: Reading[PriceList],
    vehicles: tuple[VehicleFiles, ...],
    standards: Standards,
) -> Iterator[Problem]:
    """Yield the problems between files: settings, prices, theme, languages, and across vehicles."""
    if settings.sound_part is not None:
        languages_on_offer = {folder.name for folder in content_folder().iterdir() if any(folder.rglob("*.po"))}
        is_whole = settings.record is not None
        yield from check_settings(
            settings.sound_part, settings.marks, languages_on_offer, _themes_on_offer(), is_whole=is_whole
        )
    if prices.sound_part is not None:
        yield from check_prices(prices.sound_part, prices.marks, standards.vocabulary)
        if settings.sound_part is not None:
            yield from check_money_of_prices(settings.sound_part, prices.sound_part, prices.marks)
    yield from check_languages(settings.sound_part, settings.marks)
    yield from check_languages(prices.sound_part, prices.marks)
    sheets = [vehicle.sheet for vehicle in vehicles if vehicle.sheet is not None]
    yield from check_across_vehicles(sheets)
    if settings.sound_part is not None:
        yield from check_age_of_inspections(settings.sound_part, sheets)
