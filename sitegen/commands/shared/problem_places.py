"""Places: the line and column of the value that a problem names, for what was found after the reading."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import groupby

from sitegen.reading.vehicle_files import INSPECTION, marks_read_again
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import path_of
from sitegen.records.problems import Problem
from sitegen.records.store import Store, StoredVehicle


def placed(problems: Iterable[Problem], store: Store) -> Iterator[Problem]:
    """Yield problems; one that names a value of an inspection gets the place where that stands, or would stand."""
    vehicles = {vehicle.inspection_file: vehicle for vehicle in store.vehicles}
    for file, of_file in groupby(sorted(problems), key=lambda problem: problem.file):
        marks: Marks | None = None  # one inspection's at a time: those of ten thousand would fill the memory
        for problem in of_file:
            if file not in vehicles or not problem.where or problem.line:
                yield problem
                continue
            if marks is None:
                marks = marks_of(vehicles[file])
            place = marks.value_place(path_of(problem.where))
            yield replace(problem, line=place.line, column=place.column)


def marks_of(vehicle: StoredVehicle) -> Marks:
    """Return where everything stands in a vehicle's inspection, of which the text is read once more."""
    return marks_read_again(vehicle.folder / INSPECTION, vehicle.inspection_file)
