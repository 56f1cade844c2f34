"""Read a table of arriving vehicles as spreadsheets write it: CSV with commas, semicolons or tabs, in UTF-8.

Columns may be in any order and case, and under the usual names of the trade. Source of the form: RFC 4180.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from sitegen.intake.arrival import COLUMNS, NEEDED, Arrival, parse_arrival
from sitegen.reading.validation.did_you_mean import nearest
from sitegen.records.problems import Problem

USUAL_NAMES = {
    "stock number": "stock",
    "stock no": "stock",
    "mileage": "odometer",
    "date": "on",
    "read on": "on",
    "body style": "body",
    "body type": "body",
    "drivetrain": "drive",
    "drive type": "drive",
    "fuel type": "fuel",
    "sale terms": "terms",
    "model year": "year",
    "asking price": "price",
}
"""Names of columns that are usual in the trade (common practice), in small letters and without signs."""
SEPARATORS = (",", ";", "\t")


def read_table(text: str) -> tuple[list[tuple[int, Arrival]], list[str]]:
    """Return the arrivals of a table with their lines, and the errors of form. Each error begins with its line.

    A stock number that stands in two rows is an error even if one of the rows cannot be read.
    """
    header_row, problem, rows = _opened(text.removeprefix("\ufeff"))
    header = [_column(name) for name in header_row]
    problems = [problem] if problem else list(_problems_of_header(header_row, header))
    arrivals: list[tuple[int, Arrival]] = []
    lines_of_stock: dict[str, int] = {}
    for line, values, fault in rows if not problems else ():
        entered = dict(zip(header, values, strict=False))
        stock = entered.get("stock", "").strip()
        if fault or (fault := _fault_of_row(header, values)):
            problems.append(f"line {line}: {fault}")
        else:
            arrivals.append((line, parse_arrival(entered)))
        if stock and stock in lines_of_stock:
            before = lines_of_stock[stock]
            if fault or any(each.startswith(f"line {before}:") for each in problems):
                problems.append(f"line {line}: the stock number {stock} is also on line {before}")
        elif stock:
            lines_of_stock[stock] = line
    return arrivals, problems


class TableError(Exception):
    """A table that cannot be used. `problems` has at least one."""

    def __init__(self, *problems: Problem) -> None:
        """Take the problems."""
        super().__init__(*problems)
        self.problems = problems


def rows_of(path: Path, columns: tuple[str, str]) -> list[tuple[str, str]]:
    """Return the values of two columns of a table, by row. Raises TableError with every mistake; OSError."""
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError:
        expected = "a table in UTF-8"
        raise TableError(
            Problem(path.name, 0, 0, "", "another encoding", expected, "save it again as CSV in UTF-8")
        ) from None
    first, fault, rows = _opened(text)
    header = [_column(name) for name in first]
    problems = [_row_problem(path, 1, fault, columns)] if fault else []
    problems += [_row_problem(path, 1, f"no column {name}", columns) for name in columns if name not in header]
    values: list[tuple[str, str]] = []
    for line, row, fault in rows if not problems else ():
        entered = dict(zip(header, row, strict=False))
        missing = [name for name in columns if not entered.get(name, "").strip()]
        if fault or len(row) > len(header):
            problems.append(_row_problem(path, line, fault or "more fields than the header has", columns))
        elif missing:
            problems.append(_row_problem(path, line, f"a row without {missing[0]}", columns))
        values.append((entered.get(columns[0], "").strip(), entered.get(columns[1], "").strip()))
    if not problems and not values:
        problems = [_row_problem(path, 1, "no row", columns)]
    if problems:
        raise TableError(*problems)
    return values


def _row_problem(path: Path, line: int, found: str, columns: Sequence[str]) -> Problem:
    expected = f"a table with the columns {' and '.join(columns)}"
    return Problem(path.name, line, 1, "", found, expected, "correct this line")


def _opened(text: str) -> tuple[list[str], str, Iterator[tuple[int, list[str], str]]]:
    """Return the first row of a table, its error, and the rows below. The first line shows the separator."""
    rows = _rows(text, max(SEPARATORS, key=text.partition("\n")[0].count))
    _, first, fault = next(rows, (1, [], ""))
    return first, fault, rows


def _rows(text: str, separator: str) -> Iterator[tuple[int, list[str], str]]:
    """Yield the last line of each row that is not empty, its values, and its error."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    row: list[str] | None = []
    while row is not None:
        try:
            row = next(reader, None)
        except csv.Error as error:
            yield reader.line_num, [], f"this is no row as RFC 4180 has it ({error}); check the double quotes"
        else:
            if any(value.strip() for value in row or ()):
                yield reader.line_num, row or [], ""


def _fault_of_row(header: Sequence[str], values: Sequence[str]) -> str:
    if len(values) > len(header):
        return "more fields than the header has; put a value with a comma in double quotes"
    return "fewer fields than the header has" if len(values) < len(header) else ""


def _column(name: str) -> str:
    plain = re.sub(r"[\W_]+", " ", name.casefold()).strip()
    return USUAL_NAMES.get(plain, plain.replace(" ", "_"))


def _problems_of_header(written: Sequence[str], header: Sequence[str]) -> Iterator[str]:
    for name, column in zip(written, header, strict=True):
        if column not in COLUMNS:
            near = nearest(column, [each for each in COLUMNS if each not in header])
            advice = f"; did you mean {near}?" if near else ""
            yield f"line 1: the column {name.strip()!r} is not one of {', '.join(COLUMNS)}{advice}"
    missing = [name for name in NEEDED if name not in header]
    if missing:
        yield f"line 1: no column {', '.join(missing)}"
    if len(set(header)) < len(header):
        twice = sorted({name for name in header if header.count(name) > 1})
        yield f"line 1: the column {', '.join(twice)} stands there twice"
