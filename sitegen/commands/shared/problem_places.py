"""Find the line and column of the value that a problem names, for problems found after the file was read."""

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
"""Up to this many inspections are read here. Starting workers would take longer."""
AT_ONCE = 50
"""Inspections in one batch for a worker."""
MEGABYTES_OF_PLACES = 20.0
"""The approximate upper limit of the memory that the places of one inspection take."""
_OfOne = tuple[Path, Sequence[Problem]]
"""An inspection file, and the problems that name values in it."""


def placed(
    problems: Iterable[Problem], store: Store, workers: Executor | None = None, placed_here: int = PLACED_HERE
) -> Iterator[Problem]:
    """Yield the problems; one that names a value of an inspection gets the line and column of that value.

    A value that is absent gets the place where it would stand. `workers` must see the store at the same path. Up to
    `placed_here` inspections are read without workers.
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
    """Return the problems with their places. Only one inspection's places are in memory at a time."""
    found = []
    for inspection, problems in each:
        marks = marks_read_again(inspection, problems[0].file)
        for problem in problems:
            place = marks.value_place(parse_path(problem.where))
            found.append(replace(problem, line=place.line, column=place.column))
    return found


def marks_of(vehicle: StoredVehicle) -> Marks:
    """Return the places of all values in a vehicle's inspection, which is read again for this."""
    return marks_read_again(vehicle.folder / INSPECTION, vehicle.inspection_file)
