"""Places: the line and column of the value that a problem names, for what was found after the reading."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import Executor, Future
from dataclasses import replace
from pathlib import Path

from sitegen.engine.workers import run_bounded
from sitegen.reading.vehicle_files import INSPECTION, marks_read_again
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import parse_path
from sitegen.records.problems import Problem
from sitegen.records.store import Store, StoredVehicle

PLACED_HERE = 300
"""In so many inspections places are found in the time that it takes workers to begin."""
AT_ONCE = 50
"""Inspections given to a worker at a time."""
MEGABYTES_OF_PLACES = 20.0
"""What the places in one inspection take, at most, about."""
_OfOne = tuple[Path, Sequence[Problem]]
"""An inspection, and problems that name values of it."""


def placed(
    problems: Iterable[Problem], store: Store, workers: Executor | None = None, placed_here: int = PLACED_HERE
) -> Iterator[Problem]:
    """Yield problems; one that names a value of an inspection gets the place where that stands, or would stand.

    `workers` must find the store where it is here. Up to `placed_here` inspections do without.
    """
    vehicles = {vehicle.inspection_file: vehicle for vehicle in store.vehicles}
    to_place: dict[str, list[Problem]] = defaultdict(list)
    for problem in problems:
        if problem.file in vehicles and problem.where and not problem.line:
            to_place[problem.file].append(problem)
        else:
            yield problem
    each = [(vehicles[file].folder / INSPECTION, of_file) for file, of_file in to_place.items()]
    if workers is None or len(each) <= placed_here:
        yield from _place(each)
        return
    batches = (each[start : start + AT_ONCE] for start in range(0, len(each), AT_ONCE))
    for _, found in run_bounded(workers, _submit, ((batch, MEGABYTES_OF_PLACES) for batch in batches)):
        yield from found


def _submit(workers: Executor, batch: Sequence[_OfOne]) -> Future[list[Problem]]:
    return workers.submit(_place, batch)


def _place(each: Sequence[_OfOne]) -> list[Problem]:
    """Give each problem its place; of one inspection at a time is known where its values stand."""
    found = []
    for inspection, problems in each:
        marks = marks_read_again(inspection, problems[0].file)
        for problem in problems:
            place = marks.value_place(parse_path(problem.where))
            found.append(replace(problem, line=place.line, column=place.column))
    return found


def marks_of(vehicle: StoredVehicle) -> Marks:
    """Return where everything stands in a vehicle's inspection, of which the text is read once more."""
    return marks_read_again(vehicle.folder / INSPECTION, vehicle.inspection_file)
