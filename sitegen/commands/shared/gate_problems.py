"""Report each reason why a page is held back, and each quote for work that is not in the vehicle's outlook.

A quote is the store's price in the record, under a line of the outlook: `outlook: {timing_belt: {quote: 780}}`.

A vehicle whose files have errors is not judged any further in a build. Its gate and its photos are judged here as far
as they can be read; else these mistakes would be reported only after the errors are corrected.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from sitegen.commands.shared.problem_places import marks_of
from sitegen.commands.shared.published_before import Before
from sitegen.condition.basis.findings import Gate, Hold
from sitegen.condition.judging import judge_gate, outlook_lines
from sitegen.engine.engine import Engine
from sitegen.ledger.lines import Line
from sitegen.pages.composing import speaker
from sitegen.pages.language.translator import Translator
from sitegen.photos.making import judge_all
from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.store import StoreInPart
from sitegen.reading.validation.did_you_mean import listed
from sitegen.reading.validation.readable_part import is_unread
from sitegen.reading.yaml.marks import Marks
from sitegen.records.disclosure import CheckNote
from sitegen.records.figures import Figures
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import Store, StoredVehicle
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import content_folder


def held_back(store: Store, gates: Mapping[str, Gate], translator: Translator) -> Iterator[Problem]:
    """Yield a problem for each reason why a gate holds a vehicle's page back, worded as on the page."""
    for vehicle in store.vehicles:
        gate = gates.get(vehicle.record.stock)
        if gate is None or gate.may_publish:
            continue
        marks = marks_of(vehicle)
        for hold in gate.holding:
            yield problem_of_hold(hold, vehicle.record, marks, translator)


def problem_of_hold(hold: Hold, record: VehicleRecord, marks: Marks, translator: Translator) -> Problem:
    """Return the problem for one reason that holds a page back, worded as on the page."""
    path = tuple(step for step in hold.path if step != "")
    # Plain spaces, so that a search in the terminal finds the words.
    words = translator.sentence(hold.said).replace("\N{NO-BREAK SPACE}", " ")
    return marks.problem(path, f"nothing that holds the page back ({words})", _way_out(hold, record))


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


_ANSWERS = ("before_delivery", "work_done", "harmless", "not_for_road_use")
"""Keys that can answer what holds a page back. If one of them cannot be read, nothing is said of the gate."""


def problems_in_part(part: StoreInPart, engine: Engine, lines: Sequence[Line]) -> Iterator[Problem]:
    """Yield each reason of the gate, and each unusable photo, of the vehicles that a build cannot judge."""
    settings = part.settings
    if settings is None or part.theme is None or not part.vehicles:
        return
    figures = read_figures(content_folder(), settings.region)
    say = speaker(settings, figures)("en")
    stored = tuple(
        StoredVehicle(vehicle.sheet.record, vehicle.folder, vehicle.shown_as)
        for vehicle in part.vehicles
        if vehicle.sheet is not None
    )
    store = Store(part.folder, settings, None, stored, (), part.theme)
    before = Before(store, lines, engine.today)
    for vehicle in part.vehicles:
        if (sheet := vehicle.sheet) is not None:
            yield from holds_in_part(sheet, figures, say)
            if not sheet.may_lack("defects", "history"):
                yield from before.unknown_corrections(sheet.record, sheet.marks)
    _, unusable = judge_all(store, engine)
    yield from (problem for problem in unusable if (part.folder / problem.file).is_file())


def holds_in_part(sheet: Sheet, figures: Figures, say: Translator) -> Iterator[Problem]:
    """Yield each reason that holds a page back and that rests on values that could be read."""
    is_answer_unread = any(path[0] in _ANSWERS for path in sheet.unread) or sheet.may_lack("defects")
    if sheet.record.status is Status.PREPARING or is_answer_unread:
        return
    for hold in judge_gate(sheet.record, figures).holding:
        if not is_unread(hold.path, sheet.unread, also_above=True):
            yield problem_of_hold(hold, sheet.record, sheet.marks, say)
