"""The sheet for the buyer's own mechanic: unchecked points, defects and measured figures, on one or two pages."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from markupsafe import Markup

from sitegen.condition.basis.checks import applicable_points, found_at, written_check
from sitegen.condition.basis.findings import Condition
from sitegen.condition.standing.surfaces import Surface
from sitegen.pages.frame.addresses import mechanic_sheet_page
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.language.translator import Fact, Text, Translator, within_a_sentence
from sitegen.pages.print.qr_codes import QrCode, qr_code
from sitegen.pages.vehicle.defects.defects import StationDefects
from sitegen.pages.vehicle.defects.pictures import PictureView, Slot
from sitegen.pages.vehicle.defects.standing import standing_text
from sitegen.pages.vehicle.disclosure import (
    StationChecks,
    earlier_readings,
    promised_work,
)
from sitegen.pages.vehicle.identity import Identity
from sitegen.pages.vehicle.measured.batteries_fluids_paint import Panel
from sitegen.pages.vehicle.measured.tires_and_brakes import WheelSet
from sitegen.pages.vehicle.views import VehicleViews
from sitegen.records.disclosure import CheckResult
from sitegen.records.reference import Vocabulary
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class Unchecked:
    """A check point that was not checked, its station, and a note about it."""

    point: str
    station: str
    note: Text | None


@dataclass(frozen=True)
class MechanicSheet:
    """The view of the mechanic's sheet: unchecked points, defects, figures, the page's QR code, and cautions."""

    back: str
    running: str
    """The header of every printed page."""
    identity: Identity
    facts: tuple[Fact, ...]
    first_words: tuple[Text, ...]
    code: QrCode
    unchecked: tuple[Unchecked, ...]
    """In walk order. Points that the record leaves out count as unchecked."""
    stations: tuple[StationDefects, ...]
    """Every defect, each with at most its first photo."""
    standing: Text
    """The standing facts, the worst first."""
    attention: tuple[StationChecks, ...]
    """The points that need attention, by station, without those that a listed defect covers completely."""
    promised: tuple[Text, ...]
    due: tuple[str, ...]
    """One sentence that lists the due services, and one for services without a record."""
    inspected: Text
    sets: tuple[WheelSet, ...]
    panels: tuple[Panel, ...]
    papers: tuple[Fact, ...]
    cautions: Markup


def mechanic_sheet(views: VehicleViews, around: Surroundings) -> MechanicSheet:
    """Return the view of a vehicle's mechanic's sheet. Defects have the numbers of the condition page."""
    record, vocabulary, translator = views.record, views.vocabulary, around.translator
    return MechanicSheet(
        back=mechanic_sheet_page(record.stock, around.language_folder).to(views.page.file),
        running=translator.say("sheets.mechanic_running", stock=record.stock, vin=record.vin),
        identity=views.identity,
        facts=_facts(record, views.identity, translator),
        first_words=views.first_words,
        code=qr_code(views.page.canonical(around.settings.base_address)),
        unchecked=tuple(_unchecked(record, vocabulary, translator)),
        stations=tuple(map(_with_one_photo, views.defects)),
        standing=standing_text(record, views.condition, vocabulary, Surface.SHEETS, translator),
        attention=tuple(_needing_attention(views.checks)),
        promised=promised_work(record, translator),
        due=tuple(_due(views.condition, translator)),
        inspected=views.inspected,
        sets=(views.tires, views.brakes),
        panels=views.panels,
        papers=(*views.papers, *earlier_readings(record, translator)),
        cautions=translator.catalog.text("for-mechanics"),
    )


def _facts(record: VehicleRecord, head: Identity, translator: Translator) -> tuple[Fact, ...]:
    """Return the facts that identify the vehicle: stock number, VIN and odometer reading."""
    values = {"sheets.stock": record.stock, "identity.vin": record.vin, "key.odometer": head.distance}
    return tuple(Fact(translator.say(key), Text(value, None)) for key, value in values.items())


def _unchecked(record: VehicleRecord, vocabulary: Vocabulary, translator: Translator) -> Iterator[Unchecked]:
    for key, point in applicable_points(record, vocabulary).items():
        if found_at(record, key, vocabulary) is CheckResult.NOT_CHECKED:
            note = written_check(record, key).note
            yield Unchecked(
                translator.choice("point", key),
                translator.choice("station", point.station),
                translator.text(note) if note else None,
            )


def _needing_attention(stations: Iterable[StationChecks]) -> Iterator[StationChecks]:
    for station in stations:
        checks = [check for check in station.attention if check.finding is CheckResult.ATTENTION]
        untold = tuple(check for check in checks if check.note or not check.defect)
        if untold:
            yield replace(station, attention=untold)


def _with_one_photo(station: StationDefects) -> StationDefects:
    return replace(
        station,
        defects=tuple(
            replace(defect, pictures=tuple(map(_small, defect.pictures[:1]))) for defect in station.defects
        ),
    )


def _small(picture: PictureView) -> PictureView:
    """Return a picture in the sheet's size, loaded eagerly, so that it is there when the sheet is printed."""
    return replace(picture, sizes=Slot.SHEET.value, eager=True)


def _due(condition: Condition, translator: Translator) -> Iterator[str]:
    """Yield a sentence that lists the due services, then one that lists services without a record."""
    due, no_record = condition.outlook.due_now(), condition.outlook.without_record()
    for key, keys in (("summary.next.due_now", due), ("sheets.mechanic_no_record", no_record)):
        if keys:
            named = translator.listed(within_a_sentence(translator.say(f"item.{item}")) for item in keys)
            yield translator.say(key, items=named)
