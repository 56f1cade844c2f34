"""The task that finds the positions of values in an inspection file."""

from __future__ import annotations

from sitegen.engine.reader import Reader
from sitegen.engine.task import JSON, task
from sitegen.reading.vehicle_files import INSPECTION, marks_read_again
from sitegen.reading.yaml.tree import parse_path


@task(JSON, seconds=0.02, megabytes=20.0, is_near=True)
def value_places(read: Reader, key: str) -> list[tuple[int, int]]:
    """Return the line and column of values. The key is a stock number and the values' paths, one on each line."""
    stock, *paths = key.split("\n")
    file = f"vehicles/{stock}/{INSPECTION}"
    marks = marks_read_again(read.file(file), file)
    places = (marks.value_place(parse_path(path)) for path in paths)
    return [(place.line, place.column) for place in places]
