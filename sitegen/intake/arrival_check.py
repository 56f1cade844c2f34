"""Find all errors in an arrival at once, each with the name of its column.

A trial record is generated from the arrival and read. Invalid values are then replaced by placeholders, and the
record is read again until no new error appears, so that no error hides another. The trial record is thrown away.
"""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Set as AbstractSet
from dataclasses import replace
from datetime import date
from pathlib import Path

from sitegen.intake.arrival import Arrival, format_errors, year_of
from sitegen.intake.first_record import first_record
from sitegen.reading.reference.vocabulary import read_vocabulary
from sitegen.reading.store import read_vehicle_alone
from sitegen.reading.vehicle_files import INSPECTION
from sitegen.records.problems import Severity
from sitegen.records.store import SiteSettings
from sitegen.shared_data import content_folder

_COLUMNS = {
    "vin": "vin",
    "odometer.reading": "odometer",
    "odometer.read_on": "on",
    "inspection.done_on": "on",
    "vehicle.year": "year",
    **{f"vehicle.{name}": name for name in ("make", "model", "body", "drive", "fuel")},
    "sale_terms": "terms",
    "price": "price",
    "status": "status",
}
"""Column of the arrival for each path in the record."""
_PLACEHOLDERS = {
    "stock": "X", "vin": "0" * 17, "odometer": "1 mi", "on": "2000-01-01", "make": "X", "model": "X", "body": "sedan",
    "drive": "fwd", "fuel": "gasoline", "terms": "as is", "year": "2000", "price": "", "status": "",
}  # fmt: skip
"""Valid placeholders that replace invalid values."""


def find_errors(arrival: Arrival, settings: SiteSettings, room: Path, today: date) -> Iterator[str]:
    """Yield all errors of an arrival, except those of its photos. `room` is a folder for trial records."""
    errors = format_errors(arrival)
    yield from errors.values()
    reported, year = set(errors), year_of(arrival)
    replaced = reported if year is not None else reported | {"year"}
    while new_errors := _new_errors(arrival, replaced, settings, room, today):
        yield from new_errors.values()
        reported, replaced = reported | set(new_errors), replaced | set(new_errors)
    if year is None and not reported & {"vin", "year"}:
        yield f"the VIN {arrival.vin} tells no model year: say it (year)"


def _new_errors(
    arrival: Arrival, replaced: AbstractSet[str], settings: SiteSettings, room: Path, today: date
) -> dict[str, str]:
    """Return the reader's errors by column, or by path, when the columns in `replaced` have placeholders."""
    trial = replace(arrival, **{column: _PLACEHOLDERS[column] for column in replaced & _PLACEHOLDERS.keys()})
    text = first_record(trial, year_of(trial) or 0, read_vocabulary(content_folder()).check_points, (), "")
    folder = room / trial.stock
    folder.mkdir(exist_ok=True)
    (folder / INSPECTION).write_text(text, "utf-8", newline="\n")
    _, problems = read_vehicle_alone(folder, f"{trial.stock}/{INSPECTION}", settings, today)
    errors: dict[str, str] = {}
    for problem in problems:
        column = _COLUMNS.get(problem.where, problem.where)
        if problem.severity is Severity.ERROR and column not in replaced:
            message = f"{column}: found {problem.found}; expected {problem.expected}; to mend, {problem.mend}"
            errors.setdefault(column, message)
    return errors
