"""Places: the line and column of the value that a problem names, for what was found after the reading."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from sitegen.reading.record_files import read_file
from sitegen.reading.store import INSPECTION
from sitegen.reading.tree import path_of
from sitegen.records.inspection import VehicleRecord
from sitegen.records.problems import Problem
from sitegen.records.store import Store


def placed(problems: Iterable[Problem], store: Store) -> Iterator[Problem]:
    """Yield problems; one that names a value of an inspection gets the place where that stands, or would stand."""
    vehicles = {vehicle.inspection_file: vehicle for vehicle in store.vehicles}
    for problem in problems:
        vehicle = vehicles.get(problem.file)
        if vehicle is None or not problem.where or problem.line:
            yield problem
            continue
        marks = read_file(VehicleRecord, vehicle.folder / INSPECTION, vehicle.inspection_file).marks
        place = marks.value_place(path_of(problem.where))
        yield replace(problem, line=place.line, column=place.column)
