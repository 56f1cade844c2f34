"""The window sheet, one page that hangs in the vehicle, and the disclosure sheet, which the buyer reads and signs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from markupsafe import Markup

from sitegen.condition.basis.checks import applicable_points, found_at
from sitegen.condition.basis.findings import BrakeFinding, TireFinding
from sitegen.condition.standing.surfaces import Surface
from sitegen.pages.frame.addresses import disclosure_sheet_page, window_sheet_page
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.language.translator import Fact, Text, Translator, join_texts
from sitegen.pages.print.qr_codes import QrCode, qr_code
from sitegen.pages.vehicle.defects.defects import StationDefects, counted_by_effect
from sitegen.pages.vehicle.defects.standing import standing_text
from sitegen.pages.vehicle.disclosure import (
    AdditionView,
    NothingListed,
    StationChecks,
    WorkView,
    additions,
    earlier_readings,
    nothing_listed,
    papers_in_brief,
    promised_work,
    work_done,
)
from sitegen.pages.vehicle.identity import Identity
from sitegen.pages.vehicle.measured.batteries_fluids_paint import Panel
from sitegen.pages.vehicle.measured.tires_and_brakes import WheelSet, WheelView
from sitegen.pages.vehicle.record_json import Proof
from sitegen.pages.vehicle.views import VehicleViews
from sitegen.records.disclosure import Affects, CheckResult
from sitegen.records.reference import Vocabulary
from sitegen.records.vehicle import Wheel
from sitegen.records.vehicle_record import VehicleRecord

ROOM_ON_ONE_PAGE = 600
"""The number of characters of the store's own texts that fit on the window sheet, so that it stays one page.

It depends on the style sheet: change both together."""


@dataclass(frozen=True)
class WheelFigure:
    """The measured figure of one wheel, and a note if the part was renewed since or will be."""

    wheel: WheelView
    renewed: str | None


@dataclass(frozen=True)
class WheelFigures:
    """The tires or brakes of the wheels on the ground, and the legend of their rulers."""

    wheels: tuple[WheelFigure, ...]
    legend: str


@dataclass(frozen=True)
class WindowSheet:
    """The view of the window sheet: identity, price, figures, counted defects, terms, and the page's QR code."""

    back: str
    identity: Identity
    vin: str
    first_words: tuple[Text, ...]
    inspected: Text
    tires: WheelFigures
    brakes: WheelFigures
    defects: Text
    defect_counts: tuple[tuple[Affects, str], ...]
    put_right: str | None
    not_checked: str
    papers: Text
    window_form: str
    terms_words: Text | None
    code: QrCode


@dataclass(frozen=True)
class DisclosureSheet:
    """The view of the disclosure sheet: everything that the buyer must know, and the lines to sign."""

    back: str
    running: str
    """The header of every printed page."""
    identity: Identity
    facts: tuple[Fact, ...]
    first_words: tuple[Text, ...]
    defects_introduction: Text
    stations: tuple[StationDefects, ...]
    no_defects_at: str | None
    partly_looked_at: str | None
    not_looked_at: str | None
    checks: tuple[StationChecks, ...]
    """The stations with a point that needs attention, was not checked or is not fitted."""
    promised: tuple[Text, ...]
    work: tuple[WorkView, ...]
    additions: tuple[AdditionView, ...]
    nothing: NothingListed
    lacks: tuple[Text, ...]
    inspected: Text
    sets: tuple[WheelSet, ...]
    panels: tuple[Panel, ...]
    papers: tuple[Fact, ...]
    window_form: str
    cautions: Markup
    address: str
    fingerprint: str
    """In groups of eight digits, so that two people can compare it aloud."""
    line: str
    """Digest of the ledger's line, without spaces, because it replaces a placeholder when the page is published."""
    parties: tuple[str, ...]


def window_sheet(views: VehicleViews, around: Surroundings) -> WindowSheet:
    """Return the view of a vehicle's window sheet. It fits one page, whatever the record holds."""
    record, condition, vocabulary, translator = views.record, views.condition, views.vocabulary, around.translator
    first_words, terms_words = _fitting(views.first_words, views.identity.terms_words, translator)
    return WindowSheet(
        back=window_sheet_page(record.stock, around.language_folder).to(views.page.file),
        identity=views.identity,
        vin=record.vin,
        first_words=first_words,
        inspected=views.inspected,
        tires=_on_the_ground(views.tires, condition.of(TireFinding), translator),
        brakes=_on_the_ground(views.brakes, condition.of(BrakeFinding), translator),
        defects=_counted_defects(views),
        defect_counts=counted_by_effect(record, views.condition, translator),
        put_right=_put_right(record, translator),
        not_checked=_counted_unchecked(record, vocabulary, translator),
        papers=papers_in_brief(record, condition, translator),
        window_form=views.window_form,
        terms_words=terms_words,
        code=qr_code(views.page.canonical(around.settings.base_address)),
    )


def disclosure_sheet(views: VehicleViews, proof: Proof, around: Surroundings) -> DisclosureSheet:
    """Return the view of a vehicle's disclosure sheet. Defects have the numbers of the condition page."""
    record, translator = views.record, around.translator
    return DisclosureSheet(
        back=disclosure_sheet_page(record.stock, around.language_folder).to(views.page.file),
        running=translator.say("sheets.running", stock=record.stock, vin=record.vin),
        identity=views.identity,
        facts=_facts(record, views.identity, around),
        first_words=views.first_words,
        defects_introduction=_counted_defects(views),
        stations=views.defects,
        no_defects_at=views.quiet.no_defects_at,
        partly_looked_at=views.quiet.partly_looked_at,
        not_looked_at=views.quiet.not_looked_at,
        checks=_wanting(views.checks),
        promised=promised_work(record, translator),
        work=work_done(record, translator),
        additions=additions(record, translator),
        nothing=nothing_listed(record, translator),
        lacks=tuple(translator.text(item) for item in record.equipment.lacks),
        inspected=views.inspected,
        sets=(views.tires, views.brakes),
        panels=views.panels,
        papers=(*views.papers, *earlier_readings(record, translator)),
        window_form=views.window_form,
        cautions=translator.catalog.text("cautions"),
        address=views.page.canonical(around.settings.base_address),
        fingerprint=_in_groups(proof.fingerprint),
        line=proof.line,
        parties=(
            translator.say("sheets.for_the_store", store=around.settings.name),
            translator.say("sheets.the_buyer"),
        ),
    )


def _fitting(
    first_words: tuple[Text, ...], terms_words: Text | None, translator: Translator
) -> tuple[tuple[Text, ...], Text | None]:
    """Return the first sentences and the warranty's text. A text that does not fit is replaced by a reference."""
    if _length(first_words) > ROOM_ON_ONE_PAGE:
        first_words = (Text(translator.say("sheets.first_words_elsewhere"), None),)
    if terms_words and _length((*first_words, terms_words)) > ROOM_ON_ONE_PAGE:
        terms_words = Text(translator.say("sheets.terms_elsewhere"), None)
    return first_words, terms_words


def _length(texts: Iterable[Text]) -> int:
    return sum(len(text.text) for text in texts)


def _on_the_ground(
    measured: WheelSet, findings: Sequence[TireFinding | BrakeFinding], translator: Translator
) -> WheelFigures:
    """Return the figures of the wheels on the ground, without the spare."""
    pairs = zip(measured.wheels, findings, strict=True)
    wheels = tuple(_figure(view, finding, translator) for view, finding in pairs if finding.wheel is not Wheel.SPARE)
    return WheelFigures(wheels, measured.legend)


def _figure(view: WheelView, finding: TireFinding | BrakeFinding, translator: Translator) -> WheelFigure:
    if finding.renewed is None:
        return WheelFigure(view, None)
    return WheelFigure(
        view, translator.say("sheets.will_be_renewed" if finding.renewed.promised else "sheets.renewed")
    )


def _counted_defects(views: VehicleViews) -> Text:
    """Return the number of defects, followed by the standing facts, the worst first."""
    record, translator = views.record, views.translator
    standing = standing_text(record, views.condition, views.vocabulary, Surface.SHEETS, translator)
    count = len(record.defects)
    return join_texts((Text(translator.count("sheets.defects", count), None), standing)) if count else standing


def _put_right(record: VehicleRecord, translator: Translator) -> str | None:
    count = len(
        {slug for work in record.work_done for slug in work.settles} & {defect.id for defect in record.defects}
    )
    return translator.count("sheets.put_right", count) if count else None


def _counted_unchecked(record: VehicleRecord, vocabulary: Vocabulary, translator: Translator) -> str:
    findings = [found_at(record, key, vocabulary) for key in applicable_points(record, vocabulary)]
    count = findings.count(CheckResult.NOT_CHECKED)
    return translator.count("sheets.not_checked", count) if count else translator.say("sheets.none_unchecked")


def _wanting(stations: Iterable[StationChecks]) -> tuple[StationChecks, ...]:
    """Return the stations with points that are not good. Notes on good points are left out."""
    pared = (
        replace(
            station, attention=tuple(check for check in station.attention if check.finding is not CheckResult.GOOD)
        )
        for station in stations
    )
    return tuple(station for station in pared if station.attention or station.not_checked or station.not_fitted)


def _facts(record: VehicleRecord, head: Identity, around: Surroundings) -> tuple[Fact, ...]:
    """Return the facts that identify the vehicle and the sheet: stock number, VIN, odometer reading and price."""
    translator = around.translator
    values = {
        "sheets.stock": record.stock,
        "identity.vin": record.vin,
        "key.odometer": head.distance,
        "sheets.price": head.price,
    }
    return tuple(Fact(translator.say(key), Text(value, None)) for key, value in values.items())


def _in_groups(digits: str) -> str:
    return " ".join(digits[start : start + 8] for start in range(0, len(digits), 8))
