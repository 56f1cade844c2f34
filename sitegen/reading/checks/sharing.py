"""Check for data that belongs to one vehicle but appears in two records, which suggests a copied folder.

The problems are warnings: two vehicles may be serviced on one day, though hardly at the same odometer reading.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterator, Sequence

from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.validation.did_you_mean import listed
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.problems import Problem, Severity

_Belonging = tuple[KeyPath, str, Hashable]
"""Path of an item in the record, its name in messages, and a key that is equal for equal items."""


def check_sharing(sheets: Sequence[Sheet]) -> Iterator[Problem]:
    """Yield a warning, at each vehicle involved, for bills, readings and measurements that several records share."""
    holders: dict[Hashable, list[tuple[Sheet, KeyPath, str]]] = defaultdict(list)
    for sheet in sheets:
        for path, name, token in _belongings(sheet):
            holders[token].append((sheet, path, name))
    for entries in holders.values():
        for sheet, path, name in entries:
            others = sorted({other.marks.file for other, *_ in entries if other is not sheet})
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
    for number, service in enumerate(record.services):
        if service.at is not None and service.done_on is not None:
            token_of_bill = ("service", service.service, service.at.amount, service.done_on.written)
            yield ("services", number), "a service on record", token_of_bill
    for number, work in enumerate(record.work_done):
        if work.at is not None:
            token_of_work = ("work", work.at.amount, work.on, tuple(sorted(work.what.versions.items())))
            yield ("work_done", number), "work", token_of_work
    tires = [record.tires.at(wheel) for wheel in record.tires.on_the_ground]
    if all(tire is not None and tire.tread is not None and tire.date_code is not None for tire in tires):
        yield ("tires",), "a set of tread depths and date codes", ("tires", record.tires.model_dump_json())
