"""One value of an inspection changed in its place: every other byte, comments and order among them, stays as it was.

The places come from the YAML parser. A library that writes the whole file again would quote, fold and indent anew
what a technician wrote; here a line is changed, added or taken out, and nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from itertools import takewhile
from pathlib import Path

import yaml

from sitegen.disk import flush, half_of, one_at_a_time
from sitegen.intake.arrival import ArrivalError
from sitegen.reading.store import read_vehicle_alone
from sitegen.reading.validation.record_files import read_record
from sitegen.reading.vehicle_files import INSPECTION
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import SiteSettings

AFTER = ("status", "stock")
"""A new key goes below the first of these that is there."""


def amend(store: Path, stock: str, changes: Mapping[str, str | None], today: date) -> tuple[Problem, ...]:
    """Change keys of a vehicle's record, if what comes of it is a right record; a value of None takes its key out.

    Return every problem of the changed record; where one is an error, the file is as it was, and each is told at its
    line in there. Raises ArrivalError if there is no such vehicle, or its file cannot be changed like this.
    """
    folder = store / "vehicles" / stock
    file, shown_as = folder / INSPECTION, f"vehicles/{stock}/{INSPECTION}"
    if not file.is_file():
        known = sorted(path.parent.name for path in (store / "vehicles").glob(f"*/{INSPECTION}"))
        raise ArrivalError(f"there is no vehicle {stock}; there are {', '.join(known) or 'none yet'}")
    settings, _, problems = read_record(SiteSettings, store / "site.yaml", "site.yaml")
    if settings is None:
        return tuple(problems)
    with one_at_a_time(store / "vehicles"):  # an inspection that comes in takes the price over
        return _changed(file, shown_as, changes, settings, today)


def _changed(
    file: Path, shown_as: str, changes: Mapping[str, str | None], settings: SiteSettings, today: date
) -> tuple[Problem, ...]:
    with file.open(encoding="utf-8", newline="") as written:
        text = written.read()
    fresh = amended(text, changes)
    half = half_of(file)
    try:
        half.write_text(fresh, "utf-8", newline="")
        flush(half)
        half.chmod(file.stat().st_mode)
        _, told = read_vehicle_alone(file.parent, shown_as, settings, today, half.name)
        if any(problem.severity is Severity.ERROR for problem in told):
            return tuple(_as_it_was(problem, shown_as, text, fresh) for problem in told)
        half.replace(file)
        return told
    finally:
        half.unlink(missing_ok=True)


def _as_it_was(problem: Problem, shown_as: str, text: str, fresh: str) -> Problem:
    """Return a problem of the changed text at its line in the text before, if it is below what changed."""
    before, after = text.splitlines(), fresh.splitlines()
    pairs = zip(reversed(before), reversed(after), strict=False)
    same = sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], pairs))
    is_below = problem.file == shown_as and problem.line > len(after) - same
    return replace(problem, line=problem.line + len(before) - len(after)) if is_below else problem


def amended(text: str, changes: Mapping[str, str | None]) -> str:
    """Return a record's text with keys of its top level changed. Raises ArrivalError where that cannot be done."""
    for key, value in changes.items():
        text = _with_key(text, key, value)
    return text


def _with_key(text: str, key: str, value: str | None) -> str:
    mark = "\N{BYTE ORDER MARK}" if text.startswith("\N{BYTE ORDER MARK}") else ""
    body = text.removeprefix(mark)
    nodes = _top_level(body)
    end = "\r\n" if "\r\n" in body else "\n"
    if key in nodes:
        name, found = nodes[key]
        if not isinstance(found, yaml.ScalarNode):
            raise ArrivalError(f"{key} holds more than one value: change it by hand")
        start, stop = found.start_mark.index, found.end_mark.index
        if value is None:
            line_end = body.find("\n", stop)
            return mark + body[: name.start_mark.index] + (body[line_end + 1 :] if line_end >= 0 else "")
        gap = " " if start == stop else ""  # a key without a value
        return mark + body[:start] + gap + value + body[stop:]
    if value is None:
        return text
    anchor = next((nodes[name] for name in AFTER if name in nodes), None)
    if anchor is None:
        raise ArrivalError("the record has no stock number: write it by hand")
    line_end = body.find("\n", anchor[1].end_mark.index)
    if line_end < 0:
        return f"{text}{end}{key}: {value}{end}"
    return f"{mark}{body[: line_end + 1]}{key}: {value}{end}{body[line_end + 1 :]}"


def _top_level(body: str) -> dict[str, tuple[yaml.Node, yaml.Node]]:
    """Return the nodes of each key and value of a record that is written as a block, a key a line."""
    try:
        tree = yaml.compose(body, Loader=yaml.SafeLoader)
    except yaml.YAMLError:
        raise ArrivalError("the record cannot be read; sitegen check says where") from None
    if not isinstance(tree, yaml.MappingNode) or tree.flow_style:
        raise ArrivalError("the record is not written a key a line: change it by hand")
    return {str(name.value): (name, value) for name, value in tree.value}
