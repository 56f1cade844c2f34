"""Report each reason why a page is held back, and each quote for work that is not in the vehicle's outlook.

A quote is the store's price in the record, under a line of the outlook: `outlook: {timing_belt: {quote: 780}}`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sitegen.commands.shared.problem_places import marks_of
from sitegen.condition.basis.findings import Gate, Hold
from sitegen.condition.judging import outlook_lines
from sitegen.pages.language.translator import Translator
from sitegen.reading.validation.did_you_mean import listed
from sitegen.records.disclosure import CheckNote
from sitegen.records.figures import Figures
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import Store
from sitegen.records.vehicle_record import VehicleRecord


def held_back(store: Store, gates: Mapping[str, Gate], translator: Translator) -> Iterator[Problem]:
    """Yield a problem for each reason why a gate holds a vehicle's page back, worded as on the page."""
    for vehicle in store.vehicles:
        gate = gates.get(vehicle.record.stock)
        if gate is None or gate.may_publish:
            continue
        marks = marks_of(vehicle)
        for hold in gate.holding:
            path = tuple(step for step in hold.path if step != "")
            # Plain spaces, so that a search in the terminal finds the words.
            words = translator.sentence(hold.said).replace("\N{NO-BREAK SPACE}", " ")
            expected = f"nothing that holds the page back ({words})"
            yield marks.problem(path, expected, _way_out(hold, vehicle.record))


def unfit_quotes(store: Store, figures: Figures) -> Iterator[Problem]:
    """Yield a warning for each quoted price for work that this vehicle's outlook does not have."""
    for vehicle in store.vehicles:
        record = vehicle.record
        lines = outlook_lines(record, figures) if record.outlook else frozenset()
        for line in record.outlook:
            if line not in lines:
                expected = f"a line of this vehicle's outlook ({listed(sorted(lines))})"
                mend = "quote for a line that it has; else the sums count this work again"
                found = f'the key "{line}"'
                yield marks_of(vehicle).problem(
                    ("outlook", line), expected, mend, found=found, at_key=True, severity=Severity.WARNING
                )


def _way_out(hold: Hold, record: VehicleRecord) -> str:
    """Return the advice for a reason that holds a page back: what to write in the record to publish the page."""
    check = record.checks.get(str(hold.path[1])) if hold.path[0] == "checks" else None
    if hold.is_question:
        return _answer(hold)
    if hold.defect is not None:
        answer = f"settles: [{hold.defect}]"
    elif isinstance(check, CheckNote) and check.defect is not None:
        answer = f"settles: [{check.defect}]"
    else:
        answer = f"renews: [{hold.path[0]}.{hold.path[1]}]"
    return (
        f"add what you will do to before_delivery, with {answer} and by: replaced, repaired or removed;"
        " or set status: preparing until it is done"
    )


def _answer(hold: Hold) -> str:
    """Return the advice for a question of the gate: how the record answers whether somebody can be hurt."""
    if hold.path[0] in ("defects", "checks"):
        return (
            "if somebody can be hurt, write affects: safety there;"
            " if not, write because: and the reason beside affects"
        )
    if hold.path[0] in ("tires", "brakes") and "note" not in hold.path:
        name = ".".join(str(step) for step in hold.path)
        return f"correct the figure; or add to harmless: words: {name}, and because: with the reason"
    return (
        "list what can hurt somebody under defects with affects: safety;"
        " or add to harmless: words: with these words, and because: with the reason"
    )
