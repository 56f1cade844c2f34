"""Find the line and column of the value that a problem names, for problems found after the file was read."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace

from sitegen.commands.tasks.places import value_places
from sitegen.engine.engine import Engine
from sitegen.engine.mapping import HERE, Executors, map_task
from sitegen.reading.vehicle_files import INSPECTION, marks_read_again
from sitegen.reading.yaml.marks import Marks
from sitegen.records.problems import Problem
from sitegen.records.store import Store, StoredVehicle


def placed(
    problems: Iterable[Problem], store: Store, engine: Engine, executors: Executors = HERE
) -> Iterator[Problem]:
    """Yield the problems. One that names a value of an inspection gets the line and column of that value.

    Files are read again for this.

    A value that is absent gets the place where it would stand.
    """
    stocks = {vehicle.inspection_file: vehicle.record.stock for vehicle in store.vehicles}
    to_place: dict[str, list[Problem]] = defaultdict(list)
    for problem in problems:
        if problem.file in stocks and problem.where and not problem.line:
            to_place[stocks[problem.file]].append(problem)
        else:
            yield problem
    keys = {stock: "\n".join([stock, *(each.where for each in named)]) for stock, named in to_place.items()}
    map_task(engine, value_places, keys.values(), executors)
    for stock, named in to_place.items():
        for problem, place in zip(named, engine.result(value_places, keys[stock]), strict=True):
            file, where, line, column = place
            yield replace(problem, file=file, where=where, line=line, column=column)


def marks_of(vehicle: StoredVehicle) -> Marks:
    """Return the places of all values in a vehicle's files, which are read again for this."""
    return marks_read_again(vehicle.folder / INSPECTION, vehicle.inspection_file, vehicle.record)
