"""Read a supplier's price table: turn CSV rows into the tree of a price list, so that each cell is checked like YAML.

Columns are the keys of an entry of `for_some` in services.yaml. A row with only a service and a price is a price for
every vehicle. Source of the form: RFC 4180, with commas or semicolons.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass

from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import Entry, Node, Position, YamlMapping, YamlScalar, YamlSequence
from sitegen.records.money.prices import PriceFor
from sitegen.records.problems import Problem

BETWEEN = "|"
"""The separator of several values in one cell: gasoline|diesel."""
COLUMNS = tuple(PriceFor.model_fields)
LISTS = ("drives", "fuels", "cylinders", "load_ranges", "tire_kinds")
FOR_EVERY_VEHICLE = {"service", "price"}


@dataclass(frozen=True)
class PriceRow:
    """A row: its non-empty cells with their positions, and the position of its start."""

    place: Position
    cells: dict[str, YamlScalar]


def read_price_table(text: str, shown_as: str) -> tuple[Marks, list[Problem]]:
    """Return the table as a tree like that of a price list, with positions, and the problems of its form.

    Two rows for one service without conditions are a problem, like a duplicate key.
    """
    delimiter = ";" if ";" in text.partition("\n")[0] else ","
    problems: list[Problem] = []
    try:
        rows = list(_rows(text, delimiter, shown_as, problems))
    except csv.Error as error:
        return Marks(shown_as, None), [_problem(shown_as, Position(1, 1), f"no table ({error})", "CSV (RFC 4180)")]
    start = Position(1, 1)
    prices, narrow = YamlMapping(start), YamlSequence(start)
    for row in rows:
        service = row.cells.get("service")
        if service is not None and set(row.cells) == FOR_EVERY_VEHICLE:
            if service.written in prices.entries:
                found = f"{service.written} a second time"
                mend = "keep one row, or say in other columns for which vehicles each is"
                problems.append(_problem(shown_as, service.place, found, "each service once", mend))
            prices.entries[service.written] = Entry(service.place, row.cells["price"])
        else:
            narrow.items.append(_entry(row))
    top = YamlMapping(start, {"prices": Entry(start, prices)})
    if narrow.items:
        top.entries["for_some"] = Entry(start, narrow)
    return Marks(shown_as, top), problems


def _entry(row: PriceRow) -> Node:
    """Return a row as an entry of `for_some`. One without a name is named by its service."""
    entries: dict[str, Entry] = {}
    for name, cell in row.cells.items():
        node: Node = cell
        if name in LISTS:
            values = [value.strip() for value in cell.written.split(BETWEEN)]
            node = YamlSequence(cell.place, [YamlScalar(cell.place, value, plain=True) for value in values])
        entries[name] = Entry(cell.place, node)
    return YamlMapping(row.place, entries)


def _rows(text: str, delimiter: str, shown_as: str, problems: list[Problem]) -> Iterator[PriceRow]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    lines = text.splitlines()
    header = [name.strip().casefold() for name in next(reader, [])]
    if wrong := list(_wrong_header(header, lines[0] if lines else "", delimiter, shown_as)):
        problems += wrong
        return
    line = reader.line_num + 1
    for values in reader:
        starts = _starts(lines[line - 1], delimiter) if line <= len(lines) else []
        places = [Position(line, column) for column in starts]
        places += [places[-1] if places else Position(line, 1)] * max(len(values) - len(places), 0)
        if any(value.strip() for value in values):
            if len(values) != len(header):
                found = f"{len(values)} cells"
                mend = "put a value that holds the separator in double quotes"
                problems.append(_problem(shown_as, places[-1], found, f"{len(header)} cells, as in the header", mend))
            cells = {
                name: YamlScalar(place, value.strip(), plain=True)
                for name, value, place in zip(header, values, places, strict=False)
                if value.strip()
            }
            yield PriceRow(places[0], cells)
        line = reader.line_num + 1


def _wrong_header(header: list[str], line: str, delimiter: str, shown_as: str) -> Iterator[Problem]:
    starts = _starts(line, delimiter)
    for place, name in enumerate(header):
        at = Position(1, starts[place])
        if name not in COLUMNS:
            mend = f"use the names {', '.join(COLUMNS)}"
            yield _problem(shown_as, at, f"the column {name!r}", "a key of a price", mend)
        elif name in header[:place]:
            yield _problem(shown_as, at, f"the column {name} again", "each column once", "delete one of the two")
    if "service" not in header:
        mend = "name the columns in the first line, such as service,price"
        yield _problem(shown_as, Position(1, 1), "no column service", "a header with `service`", mend)


def _starts(line: str, delimiter: str) -> list[int]:
    """Return the column, from 1, at which each cell of a line begins."""
    starts, quoted = [1], False
    for place, sign in enumerate(line, 1):
        if sign == '"':
            quoted = not quoted
        elif sign == delimiter and not quoted:
            starts.append(place + 1)
    return starts


def _problem(file: str, at: Position, found: str, expected: str, mend: str = "export the table again") -> Problem:
    return Problem(file, at.line, at.column, "", found, expected, mend)
