"""Views of tires and brakes, wheel by wheel: figures, rulers, tables, remarks, and how the figures are known."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from sitegen.condition.basis.findings import BrakeFinding, Condition, SetFinding, TireFinding
from sitegen.condition.basis.values import DepthSpan, KnownBy, Said
from sitegen.pages.language.catalog import Term
from sitegen.pages.language.translator import Text, Translator, join_texts
from sitegen.pages.vehicle.measured.how_known import how_wheels_measured
from sitegen.pages.vehicle.measured.remark_weight import notable, quiet
from sitegen.pages.vehicle.measured.rulers import Ruler, ruler
from sitegen.records.quantities import Depth
from sitegen.records.vehicle import AXLES, Drive, Wheel
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import Brakes
from sitegen.records.wheels.tires import Tire, TireKind, Tires

TIRE_TERMS = (
    *("tread", "thirty-seconds", "inspection-figure", "usable-tread", "wear-bars", "wet-grip"),
    *("alignment", "date-code", "load-index"),
)
ALL_WHEEL_TERMS = ("all-wheel-drive",)
"""Further terms for vehicles that drive all four wheels."""
BRAKE_TERMS = ("lining", "rotor-discard", "drum")
TIRE_COLUMNS = ("wheel", "outer", "center", "inner", "size", "tire_kind", "pressure", "made")
Findings = Sequence[TireFinding] | Sequence[BrakeFinding]


@dataclass(frozen=True)
class WheelView:
    """The measured figures of one wheel."""

    anchor: str
    """Its anchor on the page."""
    position: str
    is_measured: bool
    figure: str
    ruler: Ruler
    readings: str
    is_spare: bool = False


@dataclass(frozen=True)
class Table:
    """The same figures as a table. The first cell of each row is the row's heading."""

    caption: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class WheelSet:
    """The tires or the brakes of all wheels."""

    anchor: str
    heading: str
    legend: str
    wheels: tuple[WheelView, ...]
    lowest_ruler: Ruler | None
    """The ruler of the first wheel on the ground with the lowest figure; None if nothing was measured."""
    how_known: Text | None
    """None if nothing was measured."""
    remarks: tuple[Text, ...]
    """Remarks that ask for attention and the technician's notes, each beginning with its wheel."""
    details: str
    table: Table
    quiet_remarks: tuple[Text, ...]
    """Remarks that only inform, each beginning with its wheel. A remark that is the same at all wheels is given
    once."""
    terms: tuple[Term, ...]
    has_six: bool = False
    """Whether the rear axle has two wheels on each side."""


def tire_set(record: VehicleRecord, condition: Condition, translator: Translator) -> WheelSet:
    """Return the view of the vehicle's tires."""
    findings = condition.of(TireFinding)
    scale = _tread_scale(translator)
    wheels = _wheel_views("tires", findings, scale, translator)
    of_the_set = _set_remarks(condition, "tires")
    on_all_wheels = record.vehicle.drive in (Drive.ALL, Drive.FOUR)
    return WheelSet(
        anchor="tires",
        heading=translator.say("tires.heading"),
        legend=_legend("tires", findings, scale, translator),
        wheels=wheels,
        lowest_ruler=_lowest_ruler(findings, wheels),
        how_known=_how_tires_are_known(findings, record, translator),
        remarks=_remarks(findings, of_the_set, record.tires, translator),
        details=translator.say("tires.details"),
        table=Table(
            caption=translator.say("tires.table"),
            headings=_headings(TIRE_COLUMNS, translator),
            rows=tuple(_tire_row(finding, record.tires.at(finding.wheel), translator) for finding in findings),
        ),
        quiet_remarks=_quiet_remarks(findings, of_the_set, translator),
        terms=translator.catalog.explained(*_tire_terms(on_all_wheels, translator)),
        has_six=record.tires.is_dual,
    )


def brake_set(record: VehicleRecord, condition: Condition, translator: Translator) -> WheelSet:
    """Return the view of the vehicle's brakes."""
    findings = condition.of(BrakeFinding)
    scale = Scale(lambda depth: depth.millimetres, translator.formats.lining)
    wheels = _wheel_views("brakes", findings, scale, translator)
    of_the_set = _set_remarks(condition, "brakes")
    return WheelSet(
        anchor="brakes",
        heading=translator.say("brakes.heading"),
        legend=_legend("brakes", findings, scale, translator),
        wheels=wheels,
        lowest_ruler=_lowest_ruler(findings, wheels),
        how_known=_how_brakes_are_known(findings, record, translator),
        remarks=_remarks(findings, of_the_set, record.brakes, translator),
        details=translator.say("brakes.details"),
        table=Table(
            caption=translator.say("brakes.table"),
            headings=_headings(("wheel", "kind", "lining", "new", "rotor", "discard"), translator),
            rows=tuple(_brake_row(finding, translator) for finding in findings),
        ),
        quiet_remarks=_quiet_remarks(findings, of_the_set, translator),
        terms=translator.catalog.explained(*BRAKE_TERMS),
    )


def _tire_terms(on_all_wheels: bool, translator: Translator) -> tuple[str, ...]:
    """Return the terms to explain. Thirty-seconds of an inch are explained only if depths are shown in them."""
    shown = translator.formats.tread_in_thirty_seconds
    own = tuple(term for term in TIRE_TERMS if shown or term != "thirty-seconds")
    return (*own, *ALL_WHEEL_TERMS) if on_all_wheels else own


@dataclass(frozen=True)
class Scale:
    """Converts depths to ruler units and to text: in 32nds of an inch or in millimeters."""

    on_ruler: Callable[[Depth], Fraction]
    written: Callable[[Depth], str]


def _tread_scale(translator: Translator) -> Scale:
    if translator.formats.tread_in_thirty_seconds:
        return Scale(lambda depth: depth.thirty_seconds, translator.formats.tread)
    return Scale(lambda depth: depth.millimetres, translator.formats.tread)


def _legend(about: str, findings: Findings, scale: Scale, translator: Translator) -> str:
    """Return the legend of the hatched part: the limit, the limits of both axles, or that there is none."""
    limits = {
        axle: {
            scale.written(finding.limit.value)
            for finding in findings
            if finding.wheel.outer in pair and finding.limit
        }
        for axle, pair in AXLES.items()
    }
    every = set.union(*limits.values())
    if not every:
        return translator.say(f"{about}.legend_no_figure")
    if len(every) == 1:
        return translator.say(f"{about}.legend", limit=every.pop())
    by_axle = {axle.value: translator.listed(sorted(written)) for axle, written in limits.items()}
    return translator.say(f"{about}.legend_by_axle", **by_axle)


def _wheel_views(about: str, findings: Findings, scale: Scale, translator: Translator) -> tuple[WheelView, ...]:
    """Return the view of each wheel. All rulers have one scale, so that they can be compared."""
    depths = [depth for finding in findings for depth in (finding.new.high, *_depths_of(finding).values())]
    full_scale = max((scale.on_ruler(depth) for depth in depths), default=Fraction(0))
    return tuple(_wheel_view(about, finding, full_scale, scale, translator) for finding in findings)


def _lowest_of(finding: TireFinding | BrakeFinding) -> Depth | None:
    return finding.lowest if isinstance(finding, TireFinding) else finding.thinnest


def _lowest_ruler(findings: Findings, wheels: Sequence[WheelView]) -> Ruler | None:
    depths = [None if finding.wheel is Wheel.SPARE else _lowest_of(finding) for finding in findings]
    measured = [(depth, place) for place, depth in enumerate(depths) if depth is not None]
    return wheels[min(measured)[1]].ruler if measured else None


def _depths_of(finding: TireFinding | BrakeFinding) -> Mapping[str, Depth]:
    """Return the readings of a tire or a brake, by the message key of their place."""
    if isinstance(finding, BrakeFinding):
        part = "pad" if finding.kind == "disc" else "shoe"
        return {f"brakes.{part}.{place}": depth for place, depth in finding.linings.items()}
    read = {place: getattr(finding.depths, place) for place in ("outer", "center", "inner")} if finding.depths else {}
    return {f"tires.place.{place}": depth for place, depth in read.items() if depth is not None}


def _wheel_view(
    about: str,
    finding: TireFinding | BrakeFinding,
    full_scale: Fraction,
    scale: Scale,
    translator: Translator,
) -> WheelView:
    readings = _depths_of(finding)
    limit = finding.limit.value if finding.limit else None
    lowest = _lowest_of(finding)
    return WheelView(
        anchor=f"figure-{about}-{finding.wheel.replace('_', '-')}",
        position=translator.say(f"wheel.{finding.wheel}"),
        is_measured=lowest is not None,
        figure=scale.written(lowest) if lowest else translator.say("measured.not_measured"),
        ruler=ruler(
            words=_ruler_words(about, lowest, limit, finding.new, scale, translator),
            lowest=scale.on_ruler(lowest) if lowest else None,
            others=[scale.on_ruler(depth) for depth in readings.values()],
            limit=scale.on_ruler(limit) if limit else Fraction(0),
            full_scale=full_scale,
            numbered_every=2,
        ),
        readings=_readings(readings, scale, translator),
        is_spare=finding.wheel is Wheel.SPARE,
    )


def _ruler_words(
    about: str, lowest: Depth | None, limit: Depth | None, new: DepthSpan, scale: Scale, translator: Translator
) -> str:
    figures = {"limit": scale.written(limit) if limit else translator.say("measured.no_figure")}
    if lowest is None:
        return translator.say(f"{about}.ruler_none", **figures)
    typical = new.known_by is KnownBy.TYPICAL
    figures["new"] = (
        translator.say("measured.from_to", low=scale.written(new.low), high=scale.written(new.high))
        if typical
        else scale.written(new.low)
    )
    return translator.say(f"{about}.ruler", lowest=scale.written(lowest), **figures)


def _readings(readings: Mapping[str, Depth], scale: Scale, translator: Translator) -> str:
    """Return the readings as a list, or that there are none."""
    if not readings:
        return translator.say("measured.how_not")
    return translator.listed_plainly(
        translator.say(place, depth=scale.written(depth)) for place, depth in readings.items()
    )


def _tire_row(finding: TireFinding, tire: Tire | None, translator: Translator) -> tuple[str, ...]:
    missing = translator.say("measured.not_measured")

    def depth(place: str) -> str:
        reading = getattr(finding.depths, place) if finding.depths else None
        return translator.formats.tread(reading) if reading else missing

    return (
        translator.say(f"wheel.{finding.wheel}"),
        *(depth(place) for place in ("outer", "center", "inner")),
        (tire and tire.size) or translator.say("table.not_recorded"),
        _tire_kind(tire.kind, translator) if tire and tire.kind else translator.say("table.not_recorded"),
        translator.formats.quantity(tire.pressure) if tire and tire.pressure else missing,
        _made(finding, tire, translator),
    )


def _tire_kind(kind: TireKind, translator: Translator) -> str:
    return translator.say(f"tire_kind.{kind.value.replace(' ', '_')}")


def _made(finding: TireFinding, tire: Tire | None, translator: Translator) -> str:
    if finding.made:
        return translator.say("table.week", week=finding.made.week, year=str(finding.made.latest.year))
    if tire and tire.date_code == "not visible":
        return translator.say("table.not_visible")
    return (tire and tire.date_code) or translator.say("table.not_recorded")


def _brake_row(finding: BrakeFinding, translator: Translator) -> tuple[str, ...]:
    missing, unknown = translator.say("measured.not_measured"), translator.say("table.not_recorded")
    linings = [translator.formats.lining(depth) for depth in finding.linings.values()]
    new = translator.formats.lining(finding.new.low) if finding.new.known_by is not KnownBy.TYPICAL else unknown
    discard = translator.say("table.not_marked") if finding.discard_marked is False else unknown
    return (
        translator.say(f"wheel.{finding.wheel}"),
        translator.say(f"brakes.kind.{finding.kind}"),
        translator.listed_plainly(linings) if linings else missing,
        new,
        translator.formats.lining(finding.metal) if finding.metal else missing,
        translator.formats.lining(finding.discard) if finding.discard else discard,
    )


def _how_tires_are_known(
    findings: Sequence[TireFinding], record: VehicleRecord, translator: Translator
) -> Text | None:
    paths = {found.wheel: (f"tires.{found.wheel}.tread",) for found in findings if found.lowest is not None}
    return how_wheels_measured(record, paths, lambda look: look.gauges.tread, translator) if paths else None


def _how_brakes_are_known(
    findings: Sequence[BrakeFinding], record: VehicleRecord, translator: Translator
) -> Text | None:
    linings = {
        found.wheel: (f"brakes.{found.wheel}.pads", f"brakes.{found.wheel}.shoes")
        for found in findings
        if found.thinnest is not None
    }
    metal = [found.wheel for found in findings if found.metal is not None]
    gauge = record.look_at(*(f"brakes.{wheel}.{key}" for wheel in metal for key in ("rotor", "drum"))).gauges.rotors
    sentences = []
    if linings:
        sentences.append(how_wheels_measured(record, linings, lambda look: look.gauges.pads, translator))
    if gauge is not None and metal:
        sentences.append(translator.tell("measured.how_rotors", gauge=gauge.name))
    return join_texts(sentences) if sentences else None


def _set_remarks(condition: Condition, about: str) -> list[Said]:
    return [said for found in condition.of(SetFinding) if found.about == about for said in found.remarks]


def _remarks(
    findings: Findings, of_the_set: Sequence[Said], parts: Tires | Brakes, translator: Translator
) -> tuple[Text, ...]:
    """Return the remarks that need attention: of each wheel, then of the set. The technician's notes follow."""
    notes = []
    for finding in findings:
        part = getattr(parts, finding.wheel)
        if part and part.note:
            wheel = translator.say(f"wheel.{finding.wheel}")
            notes.append(translator.tell("measured.at_wheel", wheel=wheel, remarks=part.note))
    return (*_by_wheel(findings, notable, (), translator), *translator.tell_sentences(notable(of_the_set)), *notes)


def _quiet_remarks(findings: Findings, of_the_set: Sequence[Said], translator: Translator) -> tuple[Text, ...]:
    """Return the remarks that only inform. A remark that is the same at every wheel on the ground is given once."""
    on_the_ground = [finding.remarks for finding in findings if finding.wheel is not Wheel.SPARE]
    shared = (
        [said for said in quiet(on_the_ground[0]) if all(said in others for others in on_the_ground)]
        if on_the_ground
        else []
    )
    each = (translator.tell("measured.each", remark=remark) for remark in translator.tell_sentences(shared))
    return (*each, *_by_wheel(findings, quiet, shared, translator), *translator.tell_sentences(quiet(of_the_set)))


def _by_wheel(
    findings: Findings,
    choose: Callable[[Sequence[Said]], list[Said]],
    excluded: Sequence[Said],
    translator: Translator,
) -> tuple[Text, ...]:
    """Return a paragraph for each wheel with remarks that `choose` returns and that are not excluded."""
    chosen = {
        finding.wheel: [said for said in choose(finding.remarks) if said not in excluded] for finding in findings
    }
    return tuple(
        translator.tell(
            "measured.at_wheel",
            wheel=translator.say(f"wheel.{wheel}"),
            remarks=join_texts(translator.tell_sentences(remarks)),
        )
        for wheel, remarks in chosen.items()
        if remarks
    )


def _headings(names: Iterable[str], translator: Translator) -> tuple[str, ...]:
    return tuple(translator.say(f"table.{name}") for name in names)
