"""Read a whole store: every file of it, and every problem in every file at once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from sitegen.reading.checks.dates import check_age_of_inspections
from sitegen.reading.checks.everyday import check_everyday_words, check_money_of_prices
from sitegen.reading.checks.named_files import photo_files
from sitegen.reading.checks.sale import check_locations
from sitegen.reading.checks.settings import check_prices, check_settings
from sitegen.reading.checks.sheet import Sheet, Standards
from sitegen.reading.checks.vehicle import check_sheet, check_together
from sitegen.reading.earlier_inspections import EarlierFile, check_earlier, read_earlier
from sitegen.reading.own_pages import read_own_pages
from sitegen.reading.reference.figures import read_region
from sitegen.reading.reference.vocabulary import read_plausible, read_vocabulary
from sitegen.reading.theme import read_theme_data
from sitegen.reading.validation.record_files import Reading, read_file
from sitegen.reading.validation.texts import check_languages
from sitegen.reading.video.footage import read_footage
from sitegen.reading.yaml.marks import Marks
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import PriceList, Region, SiteSettings, Store, StoredVehicle
from sitegen.records.theme import ThemeData
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.walk_around import Footage
from sitegen.shared_data import content_folder, theme_folders, themes_folder

INSPECTION = "inspection.yaml"


@dataclass(frozen=True)
class _VehicleFile:
    folder: Path
    shown_as: str
    reading: Reading[VehicleRecord]
    footage: Footage | None
    problems: tuple[Problem, ...]
    earlier: tuple[EarlierFile, ...] = ()

    @property
    def record(self) -> VehicleRecord | None:
        """The record with those of the earlier inspections, if all is sound."""
        before = [file.reading.record for file in self.earlier]
        if self.reading.record is None or None in before:
            return None
        return self.reading.record.after(record for record in before if record is not None)

    def holds(self, file: str) -> bool:
        """Tell whether a file, as messages call it, is one of the vehicle's."""
        return file.startswith(self.shown_as.removesuffix(INSPECTION))

    def sheet(self, standards: Standards) -> Sheet | None:
        """Return what can be checked of it."""
        record = self.reading.sound_part
        if record is None:
            return None
        before = (file.reading.sound_part for file in self.earlier)
        record = record.after(one for one in before if one is not None)
        return Sheet(record, self.reading.marks, self.folder.name, photo_files(self.folder / "photos"), standards)


def read_store(
    folder: Path, today: date, *, leave_out_faulty: bool = False
) -> tuple[Store | None, tuple[Problem, ...]]:
    """Read a store's folder. Return the store and every problem, sorted by place; files are named from the folder on.

    The store is None if any problem is an error; with warnings alone it is whole. Dates after `today` are errors.
    With `leave_out_faulty` an error in a vehicle's own files costs only that vehicle.
    """
    if not folder.is_dir():
        return None, (_missing_folder(folder),)
    settings = read_file(SiteSettings, folder / "site.yaml", "site.yaml")
    prices = _read_prices(folder)
    vehicles = tuple(_read_vehicles(folder))
    pages, page_problems = read_own_pages(folder, _languages(settings))
    theme, theme_problems = _read_theme(folder, settings)
    problems = {*settings.problems, *prices.problems, *page_problems, *theme_problems}
    for vehicle in vehicles:
        problems.update(vehicle.problems)
    problems.update(_cross_check(settings, prices, vehicles, today))
    if not vehicles:
        expected = f"a folder for each vehicle, with its {INSPECTION}"
        mend = "make one, named by its stock number"
        problems.add(Problem("vehicles", 0, 0, "", "no vehicle", expected, mend, Severity.WARNING))
    told = tuple(sorted(problems))
    wrong = {problem.file for problem in told if problem.severity is Severity.ERROR}
    faulty = [vehicle for vehicle in vehicles if any(vehicle.holds(file) for file in wrong)]
    stands = all(any(vehicle.holds(file) for vehicle in faulty) for file in wrong) if leave_out_faulty else not wrong
    if settings.record is None or theme is None or not stands:
        return None, told
    stored = tuple(
        StoredVehicle(record, vehicle.folder, vehicle.shown_as, vehicle.footage)
        for vehicle in vehicles
        if (record := vehicle.record) is not None and vehicle not in faulty
    )
    return Store(folder, settings.record, prices.record, stored, pages, theme), told


def read_vehicle_alone(
    folder: Path, shown_as: str, settings: SiteSettings, today: date, inspection: str = INSPECTION
) -> tuple[VehicleRecord | None, tuple[Problem, ...]]:
    """Return one vehicle that is not in the store yet, and every problem of its folder, sorted by place.

    `shown_as` is what messages call its `inspection`, a file of that folder. The record is None if any problem is an
    error.
    """
    vehicle = _read_vehicle(folder, shown_as, inspection)
    standards = _standards(settings.region, today)
    sheet = vehicle.sheet(standards)
    problems = set(vehicle.problems)
    if sheet is not None:
        problems.update(check_sheet(sheet, is_whole=vehicle.reading.record is not None))
        problems.update(check_languages(sheet.record, sheet.marks))
        problems.update(check_earlier(sheet.record, sheet.marks, vehicle.earlier, folder, standards))
        problems.update(check_everyday_words(settings, [sheet]))
        problems.update(check_locations(settings, [sheet]))
    is_wrong = any(problem.severity is Severity.ERROR for problem in problems)
    return None if is_wrong else vehicle.record, tuple(sorted(problems))


def _missing_folder(folder: Path) -> Problem:
    expected = "a store's folder, which holds site.yaml and vehicles/"
    return Problem(folder.as_posix(), 0, 0, "", "no such folder", expected, "check the path")


def _languages(settings: Reading[SiteSettings]) -> tuple[str, ...]:
    """Return the site's languages, as far as the settings tell."""
    if settings.sound_part is not None:
        return settings.sound_part.languages
    return settings.marks.texts(("languages",)) or ("",)


def _read_theme(folder: Path, settings: Reading[SiteSettings]) -> tuple[ThemeData | None, tuple[Problem, ...]]:
    """Read the theme that the settings name; one that is not there is a problem of the settings."""
    if settings.sound_part is None or settings.sound_part.theme not in _themes_on_offer():
        return None, ()
    return read_theme_data(theme_folders(settings.sound_part.theme, folder))


def _themes_on_offer() -> set[str]:
    return {folder.name for folder in themes_folder().iterdir() if folder.is_dir()}


def _read_prices(folder: Path) -> Reading[PriceList]:
    """Read the price list; a store need not have one."""
    path = folder / "services.yaml"
    if not path.exists():
        return Reading(None, None, Marks(path.name, None), ())
    return read_file(PriceList, path, path.name)


def _read_vehicles(store: Path) -> Iterator[_VehicleFile]:
    """Read every inspection, by the name of its folder. What begins with a dot is none of ours."""
    vehicles = store / "vehicles"
    for folder in sorted(vehicles.iterdir()) if vehicles.is_dir() else ():
        if folder.is_dir() and not folder.name.startswith("."):
            yield _read_vehicle(folder, f"vehicles/{folder.name}/{INSPECTION}")


def _read_vehicle(folder: Path, shown_as: str, inspection: str = INSPECTION) -> _VehicleFile:
    reading = read_file(VehicleRecord, folder / inspection, shown_as)
    earlier = read_earlier(folder, folder / inspection, shown_as.rpartition("/")[0])
    footage: Footage | None = None
    faults: list[Problem] = []
    if reading.sound_part is not None:
        is_whole = reading.record is not None
        before = (file.reading.sound_part for file in earlier)
        record = reading.sound_part.after(one for one in before if one is not None)
        footage, faults = read_footage(record, reading.marks, folder, is_whole)
    of_earlier = (problem for file in earlier for problem in file.reading.problems)
    return _VehicleFile(folder, shown_as, reading, footage, (*reading.problems, *faults, *of_earlier), earlier)


def _standards(region: Region | None, today: date) -> Standards:
    """Return what sheets are checked against, in a region; None where the settings do not tell it."""
    content = content_folder()
    exemption = read_region(content, region).odometer_exemption if region is not None else None
    return Standards(today, region, read_vocabulary(content), read_plausible(content), exemption)


def _cross_check(
    settings: Reading[SiteSettings], prices: Reading[PriceList], vehicles: tuple[_VehicleFile, ...], today: date
) -> Iterator[Problem]:
    """Yield what is wrong between values that are each right by themselves."""
    content = content_folder()
    standards = _standards(settings.sound_part.region if settings.sound_part is not None else None, today)
    if settings.sound_part is not None:
        languages_on_offer = {folder.name for folder in content.iterdir() if any(folder.rglob("*.po"))}
        yield from check_settings(settings.sound_part, settings.marks, languages_on_offer, _themes_on_offer())
    if prices.sound_part is not None:
        yield from check_prices(prices.sound_part, prices.marks, standards.vocabulary)
        if settings.sound_part is not None:
            yield from check_money_of_prices(settings.sound_part, prices.sound_part, prices.marks)
    sheets = [(vehicle, sheet) for vehicle in vehicles if (sheet := vehicle.sheet(standards)) is not None]
    yield from check_languages(settings.sound_part, settings.marks)
    yield from check_languages(prices.sound_part, prices.marks)
    for vehicle in vehicles:
        yield from check_languages(vehicle.reading.sound_part, vehicle.reading.marks)
    for vehicle, sheet in sheets:
        yield from check_sheet(sheet, is_whole=vehicle.reading.record is not None)
        yield from check_earlier(sheet.record, sheet.marks, vehicle.earlier, vehicle.folder, standards)
    yield from check_together([sheet for _, sheet in sheets])
    if settings.sound_part is not None:
        yield from check_everyday_words(settings.sound_part, [sheet for _, sheet in sheets])
        yield from check_locations(settings.sound_part, [sheet for _, sheet in sheets])
        yield from check_age_of_inspections(settings.sound_part, [sheet for _, sheet in sheets])
