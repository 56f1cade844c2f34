"""All that is wrong with what was said of a vehicle, told at once and by the column it was said in.

The reader judges a record made of it. What is faulty is put aside for a value that stands for nothing, and the record
read again, until nothing more comes to light: so no fault hides another. Such a record is thrown away.
"""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Set as AbstractSet
from dataclasses import replace
from datetime import date
from pathlib import Path

from sitegen.intake.arrival import Arrival, faults_of, year_of
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
}
"""Where a value stands in the record, and the column in which it was said."""
_ASIDE = {
    "stock": "X", "vin": "0" * 17, "odometer": "1 mi", "on": "2000-01-01", "make": "X", "model": "X", "body": "sedan",
    "drive": "fwd", "fuel": "gasoline", "terms": "as is", "year": "2000",
}  # fmt: skip
"""Values that the reader takes, in place of faulty ones, which are told already."""


def wrongs_of(arrival: Arrival, settings: SiteSettings, room: Path, today: date) -> Iterator[str]:
    """Yield all that is wrong with what was said, photos aside. `room` is a folder that is free for trials."""
    faults = faults_of(arrival)
    yield from faults.values()
    told, year = set(faults), year_of(arrival)
    aside = told if year is not None else told | {"year"}
    while fresh := _fresh_faults(arrival, aside, settings, room, today):
        yield from fresh.values()
        told, aside = told | set(fresh), aside | set(fresh)
    if year is None and not told & {"vin", "year"}:
        yield f"the VIN {arrival.vin} tells no model year: say it (year)"


def _fresh_faults(
    arrival: Arrival, aside: AbstractSet[str], settings: SiteSettings, room: Path, today: date
) -> dict[str, str]:
    """Return what the reader says of a record without the columns that are put aside: by column, or by place."""
    trial = replace(arrival, **{column: _ASIDE[column] for column in aside & _ASIDE.keys()})
    text = first_record(trial, year_of(trial) or 0, read_vocabulary(content_folder()).check_points, (), "")
    folder = room / trial.stock
    folder.mkdir(exist_ok=True)
    (folder / INSPECTION).write_text(text, "utf-8", newline="\n")
    _, problems = read_vehicle_alone(folder, f"{trial.stock}/{INSPECTION}", settings, today)
    fresh: dict[str, str] = {}
    for problem in problems:
        column = _COLUMNS.get(problem.where, problem.where)
        if problem.severity is Severity.ERROR and column not in aside:
            told = f"{column}: found {problem.found}; expected {problem.expected}; to mend, {problem.mend}"
            fresh.setdefault(column, told)
    return fresh
