"""The bay sheet: the bay page's questions on paper, to be filled in by hand beside the vehicle.

It uses the same data as the bay page: the check points in walk order, the region's units, the drawing of the body.
Only the vehicle's identity is filled in. An empty box means *not checked*.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby

from sitegen.pages.frame.theme import Renderer
from sitegen.pages.language.translator import Translator
from sitegen.pages.vehicle.defects.pin_layout import WIDTH, lay_out
from sitegen.pages.vehicle.identity import vehicle_name
from sitegen.records.disclosure import WALK_ORDER, Affects, CheckResult, Station
from sitegen.records.figures import PressureUnit, TemperatureUnit
from sitegen.records.reference import CheckPoint, Vocabulary
from sitegen.records.theme import BodyPlaces, drawing_file, drawing_of
from sitegen.records.vehicle import Body
from sitegen.records.vehicle_record import VehicleRecord

TEMPLATE = "pages/bay-sheet.html"
WHEELS = ("left_front", "right_front", "left_rear", "right_rear")
CAUTIONS = ("jack", "hot", "dust", "high_voltage", "airbag")
DEFECT_ROWS = 10
SIDE = 60
"""Width that is cropped from the left and the right of a drawing, where pins would be."""


@dataclass(frozen=True)
class Blank:
    """A blank for one figure: its label, its unit, and its value if it is known already."""

    words: str
    unit: str = ""
    known: str = ""


@dataclass(frozen=True)
class BlankTable:
    """A table of blanks: rows are wheels, columns are figures."""

    title: str
    rows: tuple[str, ...]
    columns: tuple[Blank, ...]
    look: str = ""


@dataclass(frozen=True)
class StationPoints:
    """A station of the walk and its check points, each with whether it concerns safety."""

    station: str
    points: tuple[tuple[str, bool], ...]


@dataclass(frozen=True)
class BaySheet:
    """The view of the bay sheet."""

    language: str
    title: str
    store: str
    vin: str
    head: tuple[Blank, ...]
    cautions: tuple[str, ...]
    results: tuple[str, ...]
    stations: tuple[StationPoints, ...]
    tables: tuple[BlankTable, ...]
    figures: tuple[Blank, ...]
    drawing: str
    """The template that draws the body."""
    drawing_words: str
    view_box: str
    affects: tuple[str, ...]
    panels: tuple[Blank, ...]
    """The panels whose paint is measured."""
    equipment: tuple[str, ...]
    size_unit: str
    defect_rows: int = DEFECT_ROWS


def bay_sheet(
    record: VehicleRecord | None,
    store: str,
    vocabulary: Vocabulary,
    bodies: Mapping[str, BodyPlaces],
    translator: Translator,
) -> BaySheet:
    """Return the view of a bay sheet. For a vehicle it has the applicable check points; a blank sheet has all points.

    `store` is the store's name. `bodies` holds the coordinates of the theme's drawings.
    """
    say, lists = translator.say, vocabulary.walk_lists
    body = drawing_of(record.vehicle) if record else Body.SEDAN.value
    room = lay_out(bodies[body], {})
    return BaySheet(
        language=translator.language,
        title=say("bay_sheet.title") if record is None else say("bay_sheet.title_of", stock=record.stock),
        store=store,
        vin=record.vin if record else "",
        head=tuple(_head(record, translator)),
        cautions=tuple(say(f"bay_sheet.caution.{caution}") for caution in CAUTIONS),
        results=tuple(say(f"bay_sheet.result.{result.name.lower()}") for result in CheckResult),
        stations=tuple(_stations(record, vocabulary.check_points, translator)),
        tables=_tables(translator),
        figures=tuple(_figures(translator)),
        drawing=drawing_file(body),
        drawing_words=say("bay_sheet.drawing"),
        view_box=f"{SIDE} {room.top} {WIDTH - 2 * SIDE} {room.bottom - room.top}",
        affects=tuple(translator.choice("affects", affects) for affects in Affects),
        panels=tuple(Blank(say(f"panel.{panel}"), "µm") for panel in lists.panels),
        equipment=tuple(say(f"equipment.{piece}") for piece in lists.equipment),
        size_unit=say("bay_sheet.inches_or_millimeters") if translator.formats.distance_in_miles else "mm",
    )


def render_bay_sheet(sheet: BaySheet, renderer: Renderer) -> bytes:
    """Return the sheet as one self-contained HTML file in the renderer's language."""
    return renderer.page(TEMPLATE, sheet=sheet)


def _head(record: VehicleRecord | None, translator: Translator) -> Iterable[Blank]:
    say = translator.say
    distance = "mi" if translator.formats.distance_in_miles else "km"
    yield Blank(say("bay_sheet.stock"), known=record.stock if record else "")
    yield Blank(say("bay_sheet.vehicle"), known=vehicle_name(record) if record else "")
    yield Blank(say("bay_sheet.odometer"), distance)
    yield Blank(say("bay_sheet.day"))
    yield Blank(say("bay_sheet.by"))
    yield Blank(say("bay_sheet.gauges"))
    yield Blank(say("bay_sheet.title_brand"))
    yield Blank(say("bay_sheet.recalls"))
    yield Blank(say("bay_sheet.price"), translator.formats.currency)


def _stations(
    record: VehicleRecord | None, points: Mapping[str, CheckPoint], translator: Translator
) -> Iterable[StationPoints]:
    traits = (
        {str(trait) for trait in (record.vehicle.fuel, record.vehicle.drive, record.vehicle.body)} if record else None
    )
    had = [(key, point) for key, point in points.items() if traits is None or point.applies_to(traits)]
    walked = sorted(had, key=lambda item: WALK_ORDER[item[1].station])
    for station, group in groupby(walked, key=lambda item: item[1].station):
        named = tuple((translator.say(f"point.{key}"), point.usually is Affects.SAFETY) for key, point in group)
        yield StationPoints(translator.choice("station", Station(station)), named)


def _tables(translator: Translator) -> tuple[BlankTable, ...]:
    say, formats = translator.say, translator.formats
    wheels = tuple(say(f"wheel.{wheel}") for wheel in WHEELS)
    tread = "/32 in" if formats.tread_in_thirty_seconds else "mm"
    pressure = "psi" if formats.units.pressure is PressureUnit.PSI else "kPa"
    depths = tuple(Blank(say(f"bay_sheet.{place}"), tread) for place in ("outer", "center", "inner"))
    return (
        BlankTable(
            say("bay_sheet.tires"),
            (*wheels, say("wheel.spare")),
            (
                Blank(say("bay_sheet.tire_size")),
                Blank(say("bay_sheet.date_code")),
                *depths,
                Blank(say("bay_sheet.pressure"), pressure),
            ),
            look="sizes",
        ),
        BlankTable(
            say("bay_sheet.brakes"),
            wheels,
            (
                Blank(say("bay_sheet.disc_or_drum")),
                Blank(say("bay_sheet.inner_lining"), "mm"),
                Blank(say("bay_sheet.outer_lining"), "mm"),
                Blank(say("bay_sheet.metal"), "mm"),
                Blank(say("bay_sheet.discard"), "mm"),
            ),
        ),
    )


def _figures(translator: Translator) -> Iterable[Blank]:
    say = translator.say
    degrees = "°F" if translator.formats.units.temperature is TemperatureUnit.FAHRENHEIT else "°C"
    yield Blank(say("bay_sheet.battery_tested"), "CCA")
    yield Blank(say("bay_sheet.battery_rated"), "CCA")
    yield Blank(say("bay_sheet.battery_volts"), "V")
    yield Blank(say("bay_sheet.battery_fitted"))
    yield Blank(say("bay_sheet.brake_fluid"), "%")
    yield Blank(say("bay_sheet.coolant"), degrees)
