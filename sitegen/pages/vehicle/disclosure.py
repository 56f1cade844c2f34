"""What else the store discloses: work done, checks by station, additions, equipment, papers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import groupby

from sitegen.pages.language.translator import Fact, Told, Translator
from sitegen.records.disclosure import WALK_ORDER, Check, CheckNote, CheckResult, Station
from sitegen.records.reference import CheckPoint, Vocabulary
from sitegen.records.vehicle import OdometerStatement
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class WorkView:
    """Work that was done, or will be done before delivery."""

    what: Told
    when: str


@dataclass(frozen=True)
class CheckView:
    """One point of the walk: what was found there."""

    point: str
    finding: CheckResult
    words: str
    note: Told | None
    defect: str | None


@dataclass(frozen=True)
class StationChecks:
    """The points of one station. The quiet ones are told in a sentence each, so that attention stands out."""

    station: str
    attention: tuple[CheckView, ...]
    good: str | None
    not_checked: str | None
    not_fitted: str | None


@dataclass(frozen=True)
class AdditionView:
    """Something that an earlier owner fitted."""

    what: Told
    stays: str
    note: Told | None


@dataclass(frozen=True)
class EventView:
    """Something that changed on the page."""

    when: str
    what: Told


def work_done(record: VehicleRecord, translator: Translator) -> tuple[WorkView, ...]:
    """Return the work done, latest first."""
    latest_first = sorted(record.work_done, key=lambda work: work.on, reverse=True)
    return tuple(WorkView(translator.text(work.what), translator.formats.day(work.on)) for work in latest_first)


def promised_work(record: VehicleRecord, translator: Translator) -> tuple[Told, ...]:
    """Return what will be done before delivery."""
    return tuple(translator.text(promise.what) for promise in record.before_delivery)


def applicable_points(record: VehicleRecord, vocabulary: Vocabulary) -> Mapping[str, CheckPoint]:
    """Return the check points that this vehicle has, in walk order. What the record checked always counts."""
    vehicle = record.vehicle
    traits = {str(vehicle.fuel), str(vehicle.drive), str(vehicle.body)}
    points = {
        key: point
        for key, point in vocabulary.check_points.items()
        if not point.only_for or traits & set(point.only_for) or key in record.checks
    }
    return dict(sorted(points.items(), key=lambda item: WALK_ORDER[item[1].station]))


def checks_by_station(
    record: VehicleRecord, vocabulary: Vocabulary, translator: Translator
) -> tuple[StationChecks, ...]:
    """Return every point that applies, under its station; one that the record leaves out was not checked."""
    points = applicable_points(record, vocabulary)
    by_station = groupby(points.items(), key=lambda item: item[1].station)
    return tuple(
        _station(translator.choice("station", station), [key for key, _ in group], record, translator)
        for station, group in by_station
    )


def _station(name: str, keys: list[str], record: VehicleRecord, translator: Translator) -> StationChecks:
    views = [_check_view(key, record.checks.get(key, CheckResult.NOT_CHECKED), translator) for key in keys]

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


def _check_view(key: str, check: Check, translator: Translator) -> CheckView:
    noted = check if isinstance(check, CheckNote) else CheckNote(finding=check)
    return CheckView(
        point=translator.choice("point", key),
        finding=noted.finding,
        words=translator.choice("finding", noted.finding),
        note=translator.text(noted.note) if noted.note else None,
        defect=noted.defect,
    )


def important_unchecked(record: VehicleRecord, vocabulary: Vocabulary, translator: Translator) -> tuple[str, ...]:
    """Return the points that a buyer should know were not checked."""
    return tuple(
        translator.choice("point", key)
        for key, point in applicable_points(record, vocabulary).items()
        if point.important and _finding(record.checks.get(key)) is CheckResult.NOT_CHECKED
    )


def _finding(check: Check | None) -> CheckResult:
    if check is None:
        return CheckResult.NOT_CHECKED
    return check.finding if isinstance(check, CheckNote) else check


@dataclass(frozen=True)
class QuietStations:
    """Stations without a defect: looked at, or not looked at, each group as a sentence."""

    no_defects_at: str | None
    not_looked_at: str | None


def quiet_stations(record: VehicleRecord, vocabulary: Vocabulary, translator: Translator) -> QuietStations:
    """Say at which stations no defect was found, and which were not looked at: silence is not a finding."""
    points = applicable_points(record, vocabulary)
    stations = {point.station for point in points.values()}
    checked = {
        point.station
        for key, point in points.items()
        if _finding(record.checks.get(key)) in (CheckResult.GOOD, CheckResult.ATTENTION)
    }
    quiet = [station for station in Station if station not in {defect.where.station for defect in record.defects}]

    def named(stations: list[Station], key: str) -> str | None:
        words = [translator.choice("station", station).lower() for station in stations]
        return translator.say(key, stations=translator.listed(words)) if words else None

    return QuietStations(
        no_defects_at=named([station for station in quiet if station in checked], "defects.none_at"),
        not_looked_at=named([station for station in quiet if station in stations - checked], "defects.not_looked_at"),
    )


def additions(record: VehicleRecord, translator: Translator) -> tuple[AdditionView, ...]:
    """Return what an earlier owner fitted, and whether it stays."""
    return tuple(
        AdditionView(
            translator.text(addition.what),
            translator.say("additions.stays" if addition.stays else "additions.goes"),
            translator.text(addition.note) if addition.note else None,
        )
        for addition in record.additions
    )


def history(record: VehicleRecord, translator: Translator) -> tuple[EventView, ...]:
    """Return what changed on the page, latest first."""
    latest_first = sorted(record.history, key=lambda event: event.on, reverse=True)
    return tuple(EventView(translator.formats.day(event.on), translator.text(event.what)) for event in latest_first)


def papers(record: VehicleRecord, translator: Translator) -> tuple[Fact, ...]:
    """Return title, recalls and odometer statement, each with the day it was looked at."""
    facts = [
        Fact(translator.say("papers.title"), _title_words(record, translator)),
        Fact(translator.say("papers.recalls"), _recall_words(record, translator)),
    ]
    statement = record.odometer.statement
    key = f"papers.odometer_{str(statement).replace(' ', '_')}"
    facts.append(
        Fact(translator.say("papers.odometer"), Told(translator.say(key, day=record.odometer.read_on), None))
    )
    if statement is not OdometerStatement.ACTUAL:
        facts.append(
            Fact(translator.say("papers.odometer_means"), Told(translator.say("papers.no_projection"), None))
        )
    return tuple(facts)


def _title_words(record: VehicleRecord, translator: Translator) -> Told:
    title = record.title
    if title is None:
        return translator.tell("papers.title_not_looked")
    if translator.text(title.brand).text.lower() == "none":
        return translator.tell("papers.title_none", day=title.checked_on)
    return translator.tell("papers.title_brand", brand=title.brand, day=title.checked_on)


def _recall_words(record: VehicleRecord, translator: Translator) -> Told:
    recalls = record.recalls
    if recalls is None:
        return translator.tell("papers.recalls_not_looked")
    if not recalls.open:
        return translator.tell("papers.recalls_none", day=recalls.checked_on)
    texts = [translator.text(recall.what) for recall in recalls.open]
    listed = translator.tell_list(replace(text, text=text.text.rstrip(".")) for text in texts)
    return translator.tell_count("papers.recalls_open", len(texts), recalls=listed, day=recalls.checked_on)
