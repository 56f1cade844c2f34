"""What was measured, wheel by wheel: figures, rulers, remarks, and how each figure is known."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from sitegen.condition.findings import BrakeFinding, Condition, SetFinding, TireFinding
from sitegen.condition.values import DepthSpan, KnownBy, Said, Wheel
from sitegen.pages.emphasis import notable, quiet
from sitegen.pages.rulers import Ruler, ruler
from sitegen.pages.voice import Told, Voice, joined
from sitegen.pages.words import Term
from sitegen.records.disclosure import Gauge, Inspection
from sitegen.records.inspection import VehicleRecord
from sitegen.records.quantities import Depth
from sitegen.records.vehicle import Drive
from sitegen.records.wear import Brakes, Tire, Tires

TIRE_TERMS = (
    *("tread", "thirty-seconds", "inspection-figure", "usable-tread", "wear-bars", "wet-grip"),
    *("alignment", "date-code", "load-index"),
)
ALL_WHEEL_TERMS = ("all-wheel-drive",)
"""Besides, where all four wheels are driven."""
BRAKE_TERMS = ("lining", "rotor-discard", "drum")
WHEELS = ("left_front", "right_front", "left_rear", "right_rear", "spare")


@dataclass(frozen=True)
class WheelView:
    """What was measured at one wheel."""

    position: str
    is_measured: bool
    figure: str
    ruler: Ruler
    readings: str


@dataclass(frozen=True)
class Table:
    """The same figures as a table; the first cell of each row is its heading."""

    caption: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class WheelSet:
    """Tires, or brakes, of all wheels."""

    anchor: str
    heading: str
    legend: str
    wheels: tuple[WheelView, ...]
    how_known: Told
    remarks: tuple[Told, ...]
    """What asks for attention and what the technician noted, the wheel named first."""
    details: str
    table: Table
    quiet_remarks: tuple[Told, ...]
    """What else is known, the wheel named first; said once where it is the same at all."""
    terms: tuple[Term, ...]


def tire_set(record: VehicleRecord, condition: Condition, voice: Voice) -> WheelSet:
    """Return the tires as they stand on the vehicle."""
    findings = condition.of(TireFinding)
    tires: Mapping[str, Tire | None] = {wheel: getattr(record.tires, wheel) for wheel in WHEELS}
    limit = next((voice.formats.tread(finding.limit.value) for finding in findings if finding.limit), "")
    of_the_set = _set_remarks(condition, "tires")
    on_all_wheels = record.vehicle.drive in (Drive.ALL, Drive.FOUR)
    return WheelSet(
        anchor="tires",
        heading=voice.say("tires.heading"),
        legend=voice.say("tires.legend", limit=limit),
        wheels=tuple(_tire_view(finding, voice) for finding in findings),
        how_known=_how_known(record.inspection, record.inspection.gauges.tread, voice),
        remarks=_remarks(findings, of_the_set, record.tires, voice),
        details=voice.say("tires.details"),
        table=Table(
            caption=voice.say("tires.table"),
            headings=_headings(("wheel", "outer", "center", "inner", "size", "made"), voice),
            rows=tuple(_tire_row(finding, tires[finding.wheel], voice) for finding in findings),
        ),
        quiet_remarks=_quiet_remarks(findings, of_the_set, voice),
        terms=voice.words.explained(*TIRE_TERMS, *(ALL_WHEEL_TERMS if on_all_wheels else ())),
    )


def brake_set(record: VehicleRecord, condition: Condition, voice: Voice) -> WheelSet:
    """Return the brakes as they stand on the vehicle."""
    findings = condition.of(BrakeFinding)
    limit = next((voice.formats.lining(finding.limit.value) for finding in findings if finding.limit), "")
    of_the_set = _set_remarks(condition, "brakes")
    return WheelSet(
        anchor="brakes",
        heading=voice.say("brakes.heading"),
        legend=voice.say("brakes.legend", limit=limit),
        wheels=tuple(_brake_view(finding, voice) for finding in findings),
        how_known=_how_known(record.inspection, record.inspection.gauges.pads, voice),
        remarks=_remarks(findings, of_the_set, record.brakes, voice),
        details=voice.say("brakes.details"),
        table=Table(
            caption=voice.say("brakes.table"),
            headings=_headings(("wheel", "kind", "lining", "new", "rotor", "discard"), voice),
            rows=tuple(_brake_row(finding, voice) for finding in findings),
        ),
        quiet_remarks=_quiet_remarks(findings, of_the_set, voice),
        terms=voice.words.explained(*BRAKE_TERMS),
    )


def inspected(record: VehicleRecord, voice: Voice) -> Told:
    """Say when, at what distance and by whom the vehicle was inspected, as far as is recorded."""
    inspection = record.inspection
    distance = inspection.at or record.odometer.reading
    if distance is None:
        told = voice.tell("measured.introduction_no_distance", day=inspection.done_on)
    else:
        told = voice.tell("measured.introduction", day=inspection.done_on, distance=distance)
    return joined((told, voice.tell("measured.by", who=inspection.by))) if inspection.by else told


def _tire_view(finding: TireFinding, voice: Voice) -> WheelView:
    depths = finding.depths
    readings = {place: getattr(depths, place) for place in ("outer", "center", "inner")} if depths else {}
    if voice.formats.tread_in_thirty_seconds:
        scale = Scale("tires.place", lambda depth: depth.thirty_seconds, voice.formats.tread)
    else:
        scale = Scale("tires.place", lambda depth: depth.millimetres, voice.formats.tread)
    measured = {place: depth for place, depth in readings.items() if depth is not None}
    return _wheel_view("tires", finding, finding.lowest, measured, scale, voice)


def _brake_view(finding: BrakeFinding, voice: Voice) -> WheelView:
    part = "pad" if finding.kind == "disc" else "shoe"
    scale = Scale(f"brakes.{part}", lambda depth: depth.millimetres, voice.formats.lining)
    return _wheel_view("brakes", finding, finding.thinnest, finding.linings, scale, voice)


@dataclass(frozen=True)
class Scale:
    """How depths are named, drawn and written: in 32nds of an inch or in millimetres."""

    places: str
    on_ruler: Callable[[Depth], Fraction]
    written: Callable[[Depth], str]


def _wheel_view(
    about: str,
    finding: TireFinding | BrakeFinding,
    lowest: Depth | None,
    readings: Mapping[str, Depth],
    scale: Scale,
    voice: Voice,
) -> WheelView:
    limit = finding.limit.value if finding.limit else None
    return WheelView(
        position=voice.say(f"wheel.{finding.wheel}"),
        is_measured=lowest is not None,
        figure=scale.written(lowest) if lowest else voice.say("measured.not_measured"),
        ruler=ruler(
            words=_ruler_words(about, lowest, limit, finding.new, scale, voice),
            lowest=scale.on_ruler(lowest) if lowest else None,
            others=[scale.on_ruler(depth) for depth in readings.values()],
            limit=scale.on_ruler(limit) if limit else Fraction(0),
            full_scale=scale.on_ruler(finding.new.high),
            numbered_every=2,
        ),
        readings=_readings(readings, scale, voice),
    )


def _ruler_words(
    about: str, lowest: Depth | None, limit: Depth | None, new: DepthSpan, scale: Scale, voice: Voice
) -> str:
    figures = {"limit": scale.written(limit) if limit else voice.say("measured.no_figure")}
    if lowest is None:
        return voice.say(f"{about}.ruler_none", **figures)
    typical = new.known_by is KnownBy.TYPICAL
    figures["new"] = (
        voice.say("measured.from_to", low=scale.written(new.low), high=scale.written(new.high))
        if typical
        else scale.written(new.low)
    )
    return voice.say(f"{about}.ruler", lowest=scale.written(lowest), **figures)


def _readings(readings: Mapping[str, Depth], scale: Scale, voice: Voice) -> str:
    """Say each reading, or that there is none."""
    if not readings:
        return voice.say("measured.how_not")
    return voice.listed_plainly(
        voice.say(f"{scale.places}.{place}", depth=scale.written(depth)) for place, depth in readings.items()
    )


def _tire_row(finding: TireFinding, tire: Tire | None, voice: Voice) -> tuple[str, ...]:
    missing = voice.say("measured.not_measured")

    def depth(place: str) -> str:
        found = getattr(finding.depths, place) if finding.depths else None
        return voice.formats.tread(found) if found else missing

    return (
        voice.say(f"wheel.{finding.wheel}"),
        *(depth(place) for place in ("outer", "center", "inner")),
        (tire and tire.size) or voice.say("table.not_recorded"),
        _made(finding, tire, voice),
    )


def _made(finding: TireFinding, tire: Tire | None, voice: Voice) -> str:
    if finding.made:
        return voice.say("table.week", week=finding.made.week, year=str(finding.made.latest.year))
    if tire and tire.date_code == "not visible":
        return voice.say("table.not_visible")
    return (tire and tire.date_code) or voice.say("table.not_recorded")


def _brake_row(finding: BrakeFinding, voice: Voice) -> tuple[str, ...]:
    missing, unknown = voice.say("measured.not_measured"), voice.say("table.not_recorded")
    linings = [voice.formats.lining(depth) for depth in finding.linings.values()]
    new = voice.formats.lining(finding.new.low) if finding.new.known_by is not KnownBy.TYPICAL else unknown
    discard = voice.say("table.not_marked") if finding.discard_marked is False else unknown
    return (
        voice.say(f"wheel.{finding.wheel}"),
        voice.say(f"brakes.kind.{finding.kind}"),
        voice.listed_plainly(linings) if linings else missing,
        new,
        voice.formats.lining(finding.metal) if finding.metal else missing,
        voice.formats.lining(finding.discard) if finding.discard else discard,
    )


def _how_known(inspection: Inspection, gauge: Gauge | None, voice: Voice) -> Told:
    if gauge is None:
        return voice.tell("measured.how_no_gauge", day=inspection.done_on)
    return voice.tell("measured.how", day=inspection.done_on, gauge=gauge.name)


def _set_remarks(condition: Condition, about: str) -> list[Said]:
    return [said for found in condition.of(SetFinding) if found.about == about for said in found.remarks]


Findings = Sequence[TireFinding] | Sequence[BrakeFinding]


def _remarks(findings: Findings, of_the_set: Sequence[Said], parts: Tires | Brakes, voice: Voice) -> tuple[Told, ...]:
    """Return what asks for attention at each wheel and in the set, then the technician's own notes."""
    notes = []
    for finding in findings:
        part = getattr(parts, finding.wheel)
        if part and part.note:
            wheel = voice.say(f"wheel.{finding.wheel}")
            notes.append(voice.tell("measured.at_wheel", wheel=wheel, remarks=part.note))
    return (*_by_wheel(findings, notable, (), voice), *voice.tell_sentences(notable(of_the_set)), *notes)


def _quiet_remarks(findings: Findings, of_the_set: Sequence[Said], voice: Voice) -> tuple[Told, ...]:
    """Return what else is known; what is the same at every wheel on the ground is said once."""
    on_the_ground = [finding.remarks for finding in findings if finding.wheel is not Wheel.SPARE]
    shared = (
        [said for said in quiet(on_the_ground[0]) if all(said in others for others in on_the_ground)]
        if on_the_ground
        else []
    )
    each = (voice.tell("measured.each", remark=told) for told in voice.tell_sentences(shared))
    return (*each, *_by_wheel(findings, quiet, shared, voice), *voice.tell_sentences(quiet(of_the_set)))


def _by_wheel(
    findings: Findings, chosen: Callable[[Sequence[Said]], list[Said]], but: Sequence[Said], voice: Voice
) -> tuple[Told, ...]:
    """Return a paragraph for each wheel that has chosen remarks, the wheel named first."""
    told = {finding.wheel: [said for said in chosen(finding.remarks) if said not in but] for finding in findings}
    return tuple(
        voice.tell(
            "measured.at_wheel", wheel=voice.say(f"wheel.{wheel}"), remarks=joined(voice.tell_sentences(remarks))
        )
        for wheel, remarks in told.items()
        if remarks
    )


def _headings(names: Iterable[str], voice: Voice) -> tuple[str, ...]:
    return tuple(voice.say(f"table.{name}") for name in names)
