"""Views of work, check points by station, additions and papers, and the sentences about stations without defects."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from sitegen.condition.basis.checks import (
    applicable_points,
    found_at,
    points_of,
    was_looked_at,
    written_check,
)
from sitegen.condition.basis.facts import FactKind
from sitegen.condition.basis.findings import Condition, UseFinding
from sitegen.pages.language.formats import capitalized
from sitegen.pages.language.translator import Fact, Text, Translator, join_texts
from sitegen.records.disclosure import WALK_ORDER, CheckResult, Station
from sitegen.records.reference import Vocabulary
from sitegen.records.vehicle import NoBrand, OdometerStatement, Recall
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class WorkView:
    """Work that was done, and its day in words."""

    what: Text
    when: str


@dataclass(frozen=True)
class CheckView:
    """One check point and its result. `defect` is the anchor of the defect that describes it, if there is one."""

    point: str
    finding: CheckResult
    words: str
    note: Text | None
    defect: str | None
    because: Text | None = None
    """The record's reason why it is not more serious than stated."""

    @property
    def point_first(self) -> str:
        """The point's name with a capital letter, to begin a sentence."""
        return capitalized(self.point)


@dataclass(frozen=True)
class StationChecks:
    """The check points of one station. Good, unchecked and not fitted points without a note are listed by name."""

    station: str
    attention: tuple[CheckView, ...]
    good: str | None
    not_checked: str | None
    not_fitted: str | None


@dataclass(frozen=True)
class AdditionView:
    """A part that an earlier owner fitted, and whether it stays."""

    what: Text
    stays: str
    note: Text | None


def work_done(record: VehicleRecord, translator: Translator) -> tuple[WorkView, ...]:
    """Return the work done, latest first."""
    latest_first = sorted(record.work_done, key=lambda work: work.on, reverse=True)
    return tuple(WorkView(translator.text(work.what), translator.formats.day(work.on)) for work in latest_first)


def promised_work(record: VehicleRecord, translator: Translator) -> tuple[Text, ...]:
    """Return the work that is promised before delivery."""
    return tuple(translator.text(promise.what) for promise in record.before_delivery)


@dataclass(frozen=True)
class NothingListed:
    """The sentences that replace empty lists: "none" if the record states it, else "not noted"."""

    work: str
    promised: str
    additions: str


def nothing_listed(record: VehicleRecord, translator: Translator) -> NothingListed:
    """Return the sentences for empty lists. A key that the record leaves out is never reported as "none"."""

    def words(key: str, none: str, not_noted: str) -> str:
        return translator.say(none if record.states(key) else not_noted)

    return NothingListed(
        work=words("work_done", "work.none", "work.not_noted"),
        promised=words("before_delivery", "work.none_promised", "work.promises_not_noted"),
        additions=words("additions", "additions.none", "additions.not_noted"),
    )


def checks_by_station(
    record: VehicleRecord, vocabulary: Vocabulary, translator: Translator
) -> tuple[StationChecks, ...]:
    """Return every applicable check point by station. A point that the record leaves out counts as unchecked."""
    points = applicable_points(record, vocabulary)
    by_station = groupby(points.items(), key=lambda item: item[1].station)
    return tuple(
        _station(translator.choice("station", station), [key for key, _ in group], record, vocabulary, translator)
        for station, group in by_station
    )


def _station(
    name: str, keys: list[str], record: VehicleRecord, vocabulary: Vocabulary, translator: Translator
) -> StationChecks:
    views = [_check_view(key, record, vocabulary, translator) for key in keys]

    def named(finding: CheckResult) -> str | None:
        points = [view.point for view in views if view.finding is finding and not view.note]
        return translator.listed(points) if points else None

    return StationChecks(
        station=name,
        attention=tuple(view for view in views if view.finding is CheckResult.ATTENTION or view.note),
        good=named(CheckResult.GOOD),
        not_checked=named(CheckResult.NOT_CHECKED),
        not_fitted=named(CheckResult.NOT_FITTED),
    )


def _check_view(key: str, record: VehicleRecord, vocabulary: Vocabulary, translator: Translator) -> CheckView:
    check, result = written_check(record, key), found_at(record, key, vocabulary)
    defects = [defect.id for defect in record.defects if key in points_of(defect, vocabulary)]
    return CheckView(
        point=translator.choice("point", key),
        finding=result,
        words=translator.choice("finding", result),
        note=translator.text(check.note) if check.note else None,
        because=translator.text(check.because) if check.because else None,
        defect=check.defect or (defects[0] if defects and result is CheckResult.ATTENTION else None),
    )


def unchecked_points(
    record: VehicleRecord, vocabulary: Vocabulary, translator: Translator, *, important: bool
) -> tuple[str, ...]:
    """Return the names of unchecked points: the important ones, or all others."""
    return tuple(
        translator.choice("point", key)
        for key, point in applicable_points(record, vocabulary).items()
        if point.important is important and found_at(record, key, vocabulary) is CheckResult.NOT_CHECKED
    )


@dataclass(frozen=True)
class QuietStations:
    """Sentences that list the stations without findings: checked completely, checked in part, or not checked."""

    no_defects_at: str | None
    partly_looked_at: str | None
    not_looked_at: str | None


def quiet_stations(record: VehicleRecord, vocabulary: Vocabulary, translator: Translator) -> QuietStations:
    """Return the sentences about stations without findings.

    A station with a defect, or with a point that needs attention, is in none of them.
    """
    results_at: dict[Station, set[CheckResult]] = {}
    for key, point in applicable_points(record, vocabulary).items():
        results_at.setdefault(point.station, set()).add(found_at(record, key, vocabulary))
    with_defects = {defect.where.station for defect in record.defects}
    quiet = {
        station: results
        for station, results in sorted(results_at.items(), key=lambda item: WALK_ORDER[item[0]])
        if station not in with_defects and CheckResult.ATTENTION not in results
    }

    def named(stations: list[Station], key: str) -> str | None:
        words = [translator.choice("station", station).lower() for station in stations]
        return translator.say(key, stations=translator.listed(words)) if words else None

    good = [station for station, results in quiet.items() if CheckResult.GOOD in results]
    whole = [station for station in good if CheckResult.NOT_CHECKED not in quiet[station]]
    return QuietStations(
        no_defects_at=named(whole, "defects.none_at"),
        partly_looked_at=named([station for station in good if station not in whole], "defects.partly_at"),
        not_looked_at=named([station for station in quiet if station not in good], "defects.not_looked_at"),
    )


def no_defects_words(
    record: VehicleRecord, condition: Condition, vocabulary: Vocabulary, translator: Translator
) -> str:
    """Return the sentence for an empty list of defects.

    It says "none" only if the record states that and there are no standing facts.
    """
    standing = [fact for fact in condition.standing if fact.is_open]
    attention = [fact.place.point for fact in standing if fact.kind is FactKind.CHECK and fact.place.point]
    if attention:
        return translator.count(
            "defects.none_listed_but_attention", len(attention), points=points_named(attention, translator)
        )
    if not record.states("defects"):
        return translator.say("defects.not_noted")
    if not was_looked_at(record, vocabulary):
        return translator.say("defects.none_but_not_looked")
    return translator.say("summary.worst.none_where_looked" if standing else "defects.none")


def harmless_words(record: VehicleRecord, translator: Translator) -> tuple[Text, ...]:
    """Return the words of the record that sound dangerous, each with the reason why nobody can be hurt."""
    return tuple(
        translator.tell("defects.harmless", words=answer.words, because=answer.because) for answer in record.harmless
    )


def points_named(points: Sequence[str], translator: Translator, most: int = 3) -> str:
    """Return a list in words of the first few check points, and the number of the others."""
    return translator.some_of([translator.choice("point", point) for point in points], most)


def additions(record: VehicleRecord, translator: Translator) -> tuple[AdditionView, ...]:
    """Return the parts that an earlier owner fitted, each with whether it stays."""
    return tuple(
        AdditionView(
            translator.text(addition.what),
            translator.say("additions.stays" if addition.stays else "additions.goes"),
            translator.text(addition.note) if addition.note else None,
        )
        for addition in record.additions
    )


def papers(record: VehicleRecord, condition: Condition, translator: Translator) -> tuple[Fact, ...]:
    """Return title, recalls and odometer statement as facts, each with its day. Each recall is a paragraph."""
    facts = [
        Fact(translator.say("papers.title"), _title_words(record, translator)),
        Fact(
            translator.say("papers.recalls"),
            _recall_words(record, translator),
            paragraphs=tuple(
                _recall(recall, translator) for recall in (record.recalls.open if record.recalls else ())
            ),
        ),
    ]
    key = f"papers.odometer_{_statement(record, condition)}"
    facts.append(
        Fact(translator.say("papers.odometer"), Text(translator.say(key, day=record.odometer.read_on), None))
    )
    if record.odometer.statement is not OdometerStatement.ACTUAL:
        facts.append(
            Fact(translator.say("papers.odometer_means"), Text(translator.say("papers.no_projection"), None))
        )
    return tuple(facts)


def papers_in_brief(record: VehicleRecord, condition: Condition, translator: Translator) -> Text:
    """Return title brand, number of open recalls and odometer statement in three short sentences."""
    return join_texts(
        (
            _brief_title(record, translator),
            _brief_recalls(record, translator),
            translator.tell(f"brief.odometer_{_statement(record, condition)}"),
        )
    )


def _brief_title(record: VehicleRecord, translator: Translator) -> Text:
    if record.title is None:
        return translator.tell("brief.title_not_noted")
    if isinstance(record.title.brand, NoBrand):
        return translator.tell("brief.title_no_brand")
    return translator.tell("brief.title_brand", brand=record.title.brand)


def _brief_recalls(record: VehicleRecord, translator: Translator) -> Text:
    if record.recalls is None or not record.recalls.states("open"):
        return translator.tell("brief.recalls_not_noted")
    if not record.recalls.open:
        return translator.tell("brief.recalls_none")
    return translator.tell_count("brief.recalls_open", len(record.recalls.open))


def _statement(record: VehicleRecord, condition: Condition) -> str:
    """Return the key of the odometer statement's message, after its exemption was checked (49 CFR 580.17)."""
    remarks = {said.key for use in condition.of(UseFinding) for said in use.remarks}
    if "use.not_exempt_by_age" in remarks:
        return "not_exempt"
    if "use.may_be_exempt" in remarks:
        return "exempt"
    return record.odometer.statement.value.replace(" ", "_")


def earlier_readings(record: VehicleRecord, translator: Translator) -> tuple[Fact, ...]:
    """Return the earlier odometer readings with their days as one fact, or none if there are none."""
    if not record.earlier_readings:
        return ()
    return (Fact(translator.say("papers.earlier_readings"), _earlier_readings(record, translator)),)


def _earlier_readings(record: VehicleRecord, translator: Translator) -> Text:
    readings = (
        translator.tell("papers.earlier_reading", reading=then.reading, day=then.read_on, source=then.source)
        for then in sorted(record.earlier_readings, key=lambda then: then.read_on)
    )
    return join_texts(readings, between="; ")


def _title_words(record: VehicleRecord, translator: Translator) -> Text:
    title = record.title
    if title is None:
        return translator.tell("papers.title_not_looked")
    if isinstance(title.brand, NoBrand):
        words = translator.tell("papers.title_none", day=title.checked_on)
    else:
        words = translator.tell("papers.title_brand", brand=title.brand, day=title.checked_on)
    return join_texts((words, translator.tell("papers.title_state", state=title.state))) if title.state else words


def _recall_words(record: VehicleRecord, translator: Translator) -> Text:
    recalls = record.recalls
    if recalls is None:
        return translator.tell("papers.recalls_not_looked")
    if not recalls.states("open"):
        return translator.tell("papers.recalls_open_not_noted", day=recalls.checked_on)
    if not recalls.open:
        return translator.tell("papers.recalls_none", day=recalls.checked_on)
    return translator.tell_count("papers.recalls_open", len(recalls.open), day=recalls.checked_on)


def _recall(recall: Recall, translator: Translator) -> Text:
    """Return one recall with its number and remedy, as far as the record has them."""
    what = translator.text(recall.what)
    what = replace(what, text=what.text.rstrip("."))
    if recall.reference is None:
        subject = translator.tell("papers.recall", what=what)
    else:
        subject = translator.tell("papers.recall_numbered", what=what, reference=recall.reference)
    if recall.remedy is None:
        return subject
    return join_texts((subject, translator.tell("papers.recall_remedy", remedy=recall.remedy)))
