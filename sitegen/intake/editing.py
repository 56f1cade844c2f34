"""Change single keys of `inspection.yaml` in place, and leave every other byte as it is, comments included.

The YAML parser gives the positions to edit. A YAML library that rewrites the whole file would change the quoting and
indentation of text that a technician wrote.
"""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from itertools import takewhile
from pathlib import Path
from zoneinfo import ZoneInfo

import yaml

from sitegen.disk import flush, half_of, one_at_a_time
from sitegen.intake.arrival import ArrivalError
from sitegen.intake.visit_files import name_of_moment, put_in, visit_text
from sitegen.reading.store import read_vehicle_alone
from sitegen.reading.validation.record_files import read_record
from sitegen.reading.vehicle_files import INSPECTION, read_current
from sitegen.reading.visits import VISITS
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import SiteSettings

AFTER = ("status", "stock")
"""A new key is inserted below the first of these keys that the record has."""


def amend(
    store: Path, stock: str, changes: Mapping[str, str | None], moment: datetime, today: date
) -> tuple[Problem, ...]:
    """Change top-level keys of a vehicle's record if the result is a valid record. A value of None removes the key.

    A vehicle with visits gets another one, of this moment. Of any other, `inspection.yaml` is changed in place.

    Return every problem of the changed record. If one is an error, nothing is changed, and the problems name lines of
    the unchanged file. Raises ArrivalError if there is no such vehicle, or its file cannot be edited this way.
    """
    folder = store / "vehicles" / stock
    file, shown_as = folder / INSPECTION, f"vehicles/{stock}/{INSPECTION}"
    if not file.is_file():
        stocks = sorted(path.parent.name for path in (store / "vehicles").glob(f"*/{INSPECTION}"))
        raise ArrivalError(f"there is no vehicle {stock}; there are {', '.join(stocks) or 'none yet'}")
    settings, _, problems = read_record(SiteSettings, store / "site.yaml", "site.yaml")
    if settings is None:
        return tuple(problems)
    with one_at_a_time(store / "vehicles"):  # an intake also writes into the vehicle's folder
        if (folder / VISITS).is_dir():
            return _add_visit(folder, changes, moment.astimezone(ZoneInfo(settings.time_zone)), settings, today)
        return _write_changed(file, shown_as, changes, settings, today)


def _add_visit(
    folder: Path, changes: Mapping[str, str | None], moment: datetime, settings: SiteSettings, today: date
) -> tuple[Problem, ...]:
    """Write a visit with the changes. A key without a value is withdrawn if the current record has it."""
    record, _ = read_current(folder, f"vehicles/{folder.name}/{INSPECTION}", today)
    stated = {key: value for key, value in changes.items() if value is not None}
    gone = [key for key, value in changes.items() if value is None and record is not None and record.states(key)]
    on = moment.replace(second=0, microsecond=0)
    text = visit_text({"on": on.isoformat(timespec="minutes"), **stated, **({"withdraw": gone} if gone else {})})
    name = name_of_moment(on)
    called = f"vehicles/{folder.name}/{VISITS}/{name}.yaml"
    with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".coming-in-") as room:
        return put_in(folder, name, text, {}, Path(room), called, settings, today).problems


def _write_changed(
    file: Path, shown_as: str, changes: Mapping[str, str | None], settings: SiteSettings, today: date
) -> tuple[Problem, ...]:
    with file.open(encoding="utf-8", newline="") as written:
        text = written.read()
    new_text = with_keys(text, changes)
    temporary = half_of(file)
    try:
        temporary.write_text(new_text, "utf-8", newline="")
        flush(temporary)
        temporary.chmod(file.stat().st_mode)
        _, problems = read_vehicle_alone(file.parent, shown_as, settings, today, temporary.name)
        if any(problem.severity is Severity.ERROR for problem in problems):
            return tuple(_at_old_line(problem, shown_as, text, new_text) for problem in problems)
        temporary.replace(file)
        return problems
    finally:
        temporary.unlink(missing_ok=True)


def _at_old_line(problem: Problem, shown_as: str, text: str, new_text: str) -> Problem:
    """Return a problem with the line number of the old text, if its line lies below the changed lines."""
    before, after = text.splitlines(), new_text.splitlines()
    pairs = zip(reversed(before), reversed(after), strict=False)
    same = sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], pairs))
    is_below = problem.file == shown_as and problem.line > len(after) - same
    return replace(problem, line=problem.line + len(before) - len(after)) if is_below else problem


def with_keys(text: str, changes: Mapping[str, str | None], after: Sequence[str] = AFTER) -> str:
    """Return a text with top-level keys changed; a new one below the first of `after` that the text has.

    Raises ArrivalError if that is impossible.
    """
    for key, value in changes.items():
        text = _with_key(text, key, value, after)
    return text


def _with_key(text: str, key: str, value: str | None, after: Sequence[str]) -> str:
    mark = "\N{BYTE ORDER MARK}" if text.startswith("\N{BYTE ORDER MARK}") else ""
    body = text.removeprefix(mark)
    nodes = _top_level(body)
    end = "\r\n" if "\r\n" in body else "\n"
    if key in nodes:
        name, scalar = nodes[key]
        if not isinstance(scalar, yaml.ScalarNode):
            raise ArrivalError(f"{key} holds more than one value: change it by hand")
        start, stop = scalar.start_mark.index, scalar.end_mark.index
        if value is None:
            line_end = body.find("\n", stop)
            return mark + body[: name.start_mark.index] + (body[line_end + 1 :] if line_end >= 0 else "")
        gap = " " if start == stop else ""  # a key without a value
        return mark + body[:start] + gap + value + body[stop:]
    if value is None:
        return text
    anchor = next((nodes[name] for name in after if name in nodes), None)
    if anchor is None:
        raise ArrivalError("the record has no stock number: write it by hand")
    line_end = body.find("\n", anchor[1].end_mark.index)
    if line_end < 0:
        return f"{text}{end}{key}: {value}{end}"
    return f"{mark}{body[: line_end + 1]}{key}: {value}{end}{body[line_end + 1 :]}"


def _top_level(body: str) -> dict[str, tuple[yaml.Node, yaml.Node]]:
    """Return the key and value nodes of a record in block style, by key. Raises ArrivalError for any other text."""
    try:
        tree = yaml.compose(body, Loader=yaml.SafeLoader)
    except yaml.YAMLError:
        raise ArrivalError("the record cannot be read; sitegen check says where") from None
    if not isinstance(tree, yaml.MappingNode) or tree.flow_style:
        raise ArrivalError("the record is not written a key a line: change it by hand")
    return {str(name.value): (name, value) for name, value in tree.value}
