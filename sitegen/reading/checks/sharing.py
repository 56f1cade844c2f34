"""What belongs to one vehicle and stands in the record of another too: a sign that a folder was copied.

Warnings alone: two vehicles can have been serviced on one day, but hardly at the same reading of the odometer.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterator, Sequence

from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.validation.did_you_mean import listed
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.problems import Problem, Severity
from sitegen.records.vehicle import ON_THE_GROUND

_Belonging = tuple[KeyPath, str, Hashable]
"""Where it stands, what it is called, and by what it is known again."""


def check_sharing(sheets: Sequence[Sheet]) -> Iterator[Problem]:
    """Yield a warning, at each of the vehicles, of bills, readings and measurements that they share."""
    holders: dict[Hashable, list[tuple[Sheet, KeyPath, str]]] = defaultdict(list)
    for sheet in sheets:
        for path, name, token in _belongings(sheet):
            holders[token].append((sheet, path, name))
    for sharing in holders.values():
        for sheet, path, name in sharing:
            others = sorted({other.marks.file for other, *_ in sharing if other is not sheet})
            if others:
                found = f"{name} that is also in {listed(others, 'and')}"
                mend = "find out which vehicle it belongs to, and delete it from the other"
                yield sheet.marks.problem(
                    path, f"{name} of this vehicle alone", mend, found=found, severity=Severity.WARNING
                )


def _belongings(sheet: Sheet) -> Iterator[_Belonging]:
    record = sheet.record
    for number, reading in enumerate(record.earlier_readings):
        token = ("reading", reading.reading.amount, reading.read_on)
        yield ("earlier_readings", number), "a reading of the odometer", token
    for number, done in enumerate(record.services):
        if done.at is not None and done.done_on is not None:
            token_of_bill = ("service", done.service, done.at.amount, done.done_on.written)
            yield ("services", number), "a service on record", token_of_bill
    for number, work in enumerate(record.work_done):
        if work.at is not None:
            token_of_work = ("work", work.at.amount, work.on, tuple(sorted(work.what.versions.items())))
            yield ("work_done", number), "work", token_of_work
    tires = [record.tires.at(wheel) for wheel in ON_THE_GROUND]
    if all(tire is not None and tire.tread is not None and tire.date_code is not None for tire in tires):
        yield ("tires",), "a set of tread depths and date codes", ("tires", record.tires.model_dump_json())
