"""What else the store discloses: work done, checks by station, additions, equipment, papers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import groupby

from sitegen.pages.identity import Fact
from sitegen.pages.voice import Told, Voice
from sitegen.records.disclosure import WALK_ORDER, Check, CheckNote, Finding, Station
from sitegen.records.inspection import VehicleRecord
from sitegen.records.reference import Catalogues, CheckPoint
from sitegen.records.vehicle import OdometerStatement


@dataclass(frozen=True)
class WorkView:
    """Work that was done, or will be done before delivery."""

    what: Told
    when: str


@dataclass(frozen=True)
class CheckView:
    """One point of the walk: what was found there."""

    point: str
    finding: Finding
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


def work_done(record: VehicleRecord, voice: Voice) -> tuple[WorkView, ...]:
    """Return the work done, latest first."""
    latest_first = sorted(record.work_done, key=lambda work: work.on, reverse=True)
    return tuple(WorkView(voice.text(work.what), voice.formats.day(work.on)) for work in latest_first)


def promised_work(record: VehicleRecord, voice: Voice) -> tuple[Told, ...]:
    """Return what will be done before delivery."""
    return tuple(voice.text(promise.what) for promise in record.before_delivery)


def applicable_points(record: VehicleRecord, catalogues: Catalogues) -> Mapping[str, CheckPoint]:
    """Return the check points that this vehicle has, in walk order. What the record checked always counts."""
    vehicle = record.vehicle
    traits = {str(vehicle.fuel), str(vehicle.drive), str(vehicle.body)}
    points = {
        key: point
        for key, point in catalogues.check_points.items()
        if not point.only_for or traits & set(point.only_for) or key in record.checks
    }
    return dict(sorted(points.items(), key=lambda item: WALK_ORDER[item[1].station]))


def checks_by_station(record: VehicleRecord, catalogues: Catalogues, voice: Voice) -> tuple[StationChecks, ...]:
    """Return every point that applies, under its station; one that the record leaves out was not checked."""
    points = applicable_points(record, catalogues)
    by_station = groupby(points.items(), key=lambda item: item[1].station)
    return tuple(
        _station(voice.choice("station", station), [key for key, _ in group], record, voice)
        for station, group in by_station
    )


def _station(name: str, keys: list[str], record: VehicleRecord, voice: Voice) -> StationChecks:
    views = [_check_view(key, record.checks.get(key, Finding.NOT_CHECKED), voice) for key in keys]

    def named(finding: Finding) -> str | None:
        points = [view.point for view in views if view.finding is finding and not view.note]
        return voice.listed(points) if points else None

    return StationChecks(
        station=name,
        attention=tuple(view for view in views if view.finding is Finding.ATTENTION or view.note),
        good=named(Finding.GOOD),
        not_checked=named(Finding.NOT_CHECKED),
        not_fitted=named(Finding.NOT_FITTED),
    )


def _check_view(key: str, check: Check, voice: Voice) -> CheckView:
    noted = check if isinstance(check, CheckNote) else CheckNote(finding=check)
    return CheckView(
        point=voice.choice("point", key),
        finding=noted.finding,
        words=voice.choice("finding", noted.finding),
        note=voice.text(noted.note) if noted.note else None,
        defect=noted.defect,
    )


def important_unchecked(record: VehicleRecord, catalogues: Catalogues, voice: Voice) -> tuple[str, ...]:
    """Return the points that a buyer should know were not checked."""
    return tuple(
        voice.choice("point", key)
        for key, point in applicable_points(record, catalogues).items()
        if point.important and _finding(record.checks.get(key)) is Finding.NOT_CHECKED
    )


def _finding(check: Check | None) -> Finding:
    if check is None:
        return Finding.NOT_CHECKED
    return check.finding if isinstance(check, CheckNote) else check


@dataclass(frozen=True)
class QuietStations:
    """Stations without a defect: looked at, or not looked at, each group as a sentence."""

    no_defects_at: str | None
    not_looked_at: str | None


def quiet_stations(record: VehicleRecord, catalogues: Catalogues, voice: Voice) -> QuietStations:
    """Say at which stations no defect was found, and which were not looked at: silence is not a finding."""
    points = applicable_points(record, catalogues)
    stations = {point.station for point in points.values()}
    checked = {
        point.station
        for key, point in points.items()
        if _finding(record.checks.get(key)) in (Finding.GOOD, Finding.ATTENTION)
    }
    quiet = [station for station in Station if station not in {defect.where.station for defect in record.defects}]

    def named(stations: list[Station], key: str) -> str | None:
        words = [voice.choice("station", station).lower() for station in stations]
        return voice.say(key, stations=voice.listed(words)) if words else None

    return QuietStations(
        no_defects_at=named([station for station in quiet if station in checked], "defects.none_at"),
        not_looked_at=named([station for station in quiet if station in stations - checked], "defects.not_looked_at"),
    )


def additions(record: VehicleRecord, voice: Voice) -> tuple[AdditionView, ...]:
    """Return what an earlier owner fitted, and whether it stays."""
    return tuple(
        AdditionView(
            voice.text(addition.what),
            voice.say("additions.stays" if addition.stays else "additions.goes"),
            voice.text(addition.note) if addition.note else None,
        )
        for addition in record.additions
    )


def history(record: VehicleRecord, voice: Voice) -> tuple[EventView, ...]:
    """Return what changed on the page, latest first."""
    latest_first = sorted(record.history, key=lambda event: event.on, reverse=True)
    return tuple(EventView(voice.formats.day(event.on), voice.text(event.what)) for event in latest_first)


def papers(record: VehicleRecord, voice: Voice) -> tuple[Fact, ...]:
    """Return title, recalls and odometer statement, each with the day it was looked at."""
    facts = [
        Fact(voice.say("papers.title"), _title_words(record, voice)),
        Fact(voice.say("papers.recalls"), _recall_words(record, voice)),
    ]
    statement = record.odometer.statement
    key = f"papers.odometer_{str(statement).replace(' ', '_')}"
    facts.append(Fact(voice.say("papers.odometer"), Told(voice.say(key, day=record.odometer.read_on), None)))
    if statement is not OdometerStatement.ACTUAL:
        facts.append(Fact(voice.say("papers.odometer_means"), Told(voice.say("papers.no_projection"), None)))
    return tuple(facts)


def _title_words(record: VehicleRecord, voice: Voice) -> Told:
    title = record.title
    if title is None:
        return voice.tell("papers.title_not_looked")
    if voice.text(title.brand).text.lower() == "none":
        return voice.tell("papers.title_none", day=title.checked_on)
    return voice.tell("papers.title_brand", brand=title.brand, day=title.checked_on)


def _recall_words(record: VehicleRecord, voice: Voice) -> Told:
    recalls = record.recalls
    if recalls is None:
        return voice.tell("papers.recalls_not_looked")
    if not recalls.open:
        return voice.tell("papers.recalls_none", day=recalls.checked_on)
    texts = [voice.text(recall.what) for recall in recalls.open]
    listed = voice.tell_list(replace(text, text=text.text.rstrip(".")) for text in texts)
    return voice.tell_count("papers.recalls_open", len(texts), recalls=listed, day=recalls.checked_on)
