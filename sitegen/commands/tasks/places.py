"""The task that finds the positions of values in a vehicle's files."""

from __future__ import annotations

from sitegen.engine.reader import Reader
from sitegen.engine.task import JSON, task
from sitegen.reading.vehicle_files import INSPECTION, marks_read_again
from sitegen.reading.vehicle_task import vehicle_result
from sitegen.reading.visits import VISITS
from sitegen.reading.yaml.tree import format_path, parse_path


@task(JSON, seconds=0.02, megabytes=20.0, is_near=True)
def value_places(read: Reader, key: str) -> list[tuple[str, str, int, int]]:
    """Return for each value its file, its path in that file, its line and its column, as text for messages.

    The key is a stock number and the values' paths, one on each line.
    """
    stock, *paths = key.split("\n")
    file = f"vehicles/{stock}/{INSPECTION}"
    read.tree(f"vehicles/{stock}/{VISITS}")
    marks = marks_read_again(read.file(file), file, read.result(vehicle_result, stock).record)
    places = []
    for path in paths:
        own, own_path = marks.located(parse_path(path))
        place = own.value_place(own_path)
        places.append((own.file, format_path(own_path), place.line, place.column))
    return places
