"""Read a whole store, and return all problems of all its files at once."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

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
from sitegen.reading.validation.readable_part import HIDDEN, is_unread
from sitegen.reading.validation.record_files import Reading, read_file
from sitegen.reading.validation.texts import check_languages
from sitegen.reading.vehicle_files import INSPECTION, VehicleFiles, read_vehicle
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import parse_path
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
    readable = settings.readable_part
    has_region = readable is not None and not is_unread(("region",), settings.unread)
    standards = standards_of(readable.region if readable is not None and has_region else None, today)
    vehicles = tuple(
        read_vehicles(tuple(_vehicle_folders(folder)), _locations(settings), standards, engine, executors)
    )
    pages, page_problems = read_own_pages(folder, _languages(settings))
    theme, theme_problems = _read_theme(folder, settings)
    problems = {*settings.problems, *prices.problems, *page_problems, *theme_problems}
    for vehicle in vehicles:
        problems.update(vehicle.problems)
    if readable is not None and not is_unread(("demo",), settings.unread):
        problems.update(_sure(check_placeholders(readable, settings.marks), settings))
        problems.update(check_page_placeholders(readable, pages))
    problems.update(_sure(_cross_check(settings, prices, vehicles, standards), settings, prices))
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


@dataclass(frozen=True)
class StoreInPart:
    """The readable part of a store's settings and of its vehicles that have errors."""

    folder: Path
    settings: SiteSettings | None
    """None if nothing can be judged by them, because their region cannot be read."""
    theme: ThemeData | None
    vehicles: tuple[VehicleFiles, ...]


def read_in_part(folder: Path, today: date, names: Collection[str] | None) -> StoreInPart:
    """Return what can be read of the named vehicles, or of all if `names` is None, in spite of their errors."""
    settings = read_file(SiteSettings, folder / "site.yaml", "site.yaml")
    readable = settings.readable_part
    if readable is None or is_unread(("region",), settings.unread):
        return StoreInPart(folder, None, None, ())
    standards = standards_of(readable.region, today)
    folders = [each for each in _vehicle_folders(folder) if names is None or each.name in names]
    theme, _ = _read_theme(folder, settings)
    return StoreInPart(folder, readable, theme, tuple(read_vehicles(folders, None, standards)))


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


def _sure(problems: Iterable[Problem], *files: Reading[Any]) -> Iterator[Problem]:
    """Yield the problems that are not about a value that could not be read."""
    unread = {file.marks.file: file.unread for file in files}
    for problem in problems:
        if not problem.where or not is_unread(parse_path(problem.where), unread.get(problem.file, ())):
            yield problem


def _locations(settings: Reading[SiteSettings]) -> SiteSettings | None:
    """Return the settings for the checks of vehicles, or None if they might miss locations."""
    is_known = not any(path[0] in ("locations", "currency", "region", HIDDEN) for path in settings.unread)
    return settings.readable_part if is_known else None


def _languages(settings: Reading[SiteSettings]) -> tuple[str, ...]:
    """Return the site's languages, as far as the settings can be read; else an empty tuple."""
    if settings.readable_part is not None and not is_unread(("languages",), settings.unread):
        return settings.readable_part.languages
    return settings.marks.texts(("languages",))


def _read_theme(folder: Path, settings: Reading[SiteSettings]) -> tuple[ThemeData | None, tuple[Problem, ...]]:
    """Return the data of the theme that the settings name, and its problems.

    None and no problems if they name no theme that exists.
    """
    if settings.readable_part is None or settings.readable_part.theme not in _themes_on_offer():
        return None, ()
    return read_theme_data(theme_folders(settings.readable_part.theme, folder))


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
    if settings.readable_part is not None:
        languages_on_offer = {folder.name for folder in content_folder().iterdir() if any(folder.rglob("*.po"))}
        is_whole = settings.record is not None
        yield from check_settings(
            settings.readable_part, settings.marks, languages_on_offer, _themes_on_offer(), is_whole=is_whole
        )
    has_money = settings.readable_part is not None and not is_unread(("currency",), settings.unread)
    if prices.readable_part is not None:
        yield from check_prices(prices.readable_part, prices.marks, standards.vocabulary)
        if settings.readable_part is not None and has_money:
            yield from check_money_of_prices(settings.readable_part, prices.readable_part, prices.marks)
    yield from check_languages(settings.readable_part, settings.marks)
    yield from check_languages(prices.readable_part, prices.marks)
    sheets = [vehicle.sheet for vehicle in vehicles if vehicle.sheet is not None]
    yield from check_across_vehicles(sheets)
    if settings.readable_part is not None and not is_unread(("stale_after_days",), settings.unread):
        whole = [sheet for sheet in sheets if sheet.is_whole]
        yield from check_age_of_inspections(settings.readable_part, whole)
