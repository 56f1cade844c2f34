"""Pins on the drawing of the body: every defect has one, none overlaps another, each is where its station is.

WCAG 2.2, 2.5.8 Target Size (Minimum): 24 by 24 CSS pixels. On a phone of 320 the drawing is 284 CSS pixels wide.
"""

from __future__ import annotations

import re
from itertools import combinations
from math import hypot

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as some

from sitegen.condition.basis.findings import Condition
from sitegen.condition.judging import judge
from sitegen.pages.bay.vocabulary import station_places, view_box
from sitegen.pages.language.catalog import read_catalog
from sitegen.pages.language.formats import Formats
from sitegen.pages.language.translator import Translator
from sitegen.pages.vehicle.defects.body_plan import body_plan
from sitegen.pages.vehicle.defects.defects import counted_by_effect
from sitegen.pages.vehicle.defects.pin_layout import LABEL, RADIUS, WIDTH, Layout, Where, lay_out
from sitegen.records.disclosure import Affects, Station
from sitegen.records.quantities import Distance
from sitegen.records.theme import CENTER
from sitegen.records.vehicle import AtWheel, Body
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import content_folder, themes_folder
from tests.builders import a_vehicle, some_theme, units_of
from tests.condition.judged import AVERAGE, US

COMPONENT = themes_folder() / "daylight" / "components" / "body-plan"
BODIES = some_theme().bodies
TARGET = 24 * WIDTH / 284
WHERES: list[Where] = [(station, None) for station in Station]
WHERES += [(Station.WHEELS, wheel) for wheel in AtWheel]
OUTSIDE_TO_THE_LEFT = {Station.LEFT_FRONT, Station.LEFT_SIDE, Station.LEFT_REAR}
OUTSIDE_TO_THE_RIGHT = {Station.RIGHT_FRONT, Station.RIGHT_SIDE, Station.RIGHT_REAR}
INSIDE = {Station.ROOF_AND_GLASS, Station.CABIN, Station.LOAD_SPACE, Station.ENGINE_BAY}


def condition_of(record: VehicleRecord) -> Condition:
    return judge(record, US, None, Distance.of_miles(AVERAGE))


def translator() -> Translator:
    formats = Formats(language="en", currency="USD", units=units_of("us"))
    return Translator(read_catalog(content_folder(), "en"), formats, "en")


def a_defect(number: int, station: str, **place: str) -> dict[str, object]:
    return {
        "id": f"defect-{number}",
        "kind": "dent",
        "where": {"station": station, "part": f"part {number}", **place},
        "affects": "looks",
        "words": "A dent.",
    }


def fault_of(layout: Layout, counts: dict[Where, int]) -> str | None:
    """Say what is wrong with a layout: a pin too many or too few, two that overlap, one outside the drawing."""
    if {where: len(group) for where, group in layout.standing.items()} != counts:
        return "not every defect has a pin"
    spots = [found.at for group in layout.standing.values() for found in group]
    for one, other in combinations(spots, 2):
        if hypot(one.x - other.x, one.y - other.y) < TARGET:
            return f"{one} and {other} overlap"
    for spot in spots:
        if not (RADIUS <= spot.x <= WIDTH - RADIUS and layout.top + RADIUS <= spot.y <= layout.bottom - RADIUS):
            return f"{spot} is outside"
    for _, baseline in layout.rows:
        if any(baseline - LABEL / 2 < spot.y + RADIUS and spot.y - RADIUS < baseline for spot in spots):
            return f"the label at {baseline} is hidden"
    return None


@pytest.mark.parametrize("count", [1, 2, 5, 12])
@pytest.mark.parametrize("name", BODIES)
def test_pins_of_one_place_never_overlap(name, count):
    faults = {where: fault_of(lay_out(BODIES[name], {where: count}), {where: count}) for where in WHERES}
    assert set(faults.values()) == {None}, faults


@pytest.mark.parametrize("name", BODIES)
def test_pins_of_all_places_together_never_overlap(name):
    counts = dict.fromkeys(WHERES, 12)
    assert fault_of(lay_out(BODIES[name], counts), counts) is None


@settings(deadline=None)
@given(
    name=some.sampled_from(sorted(BODIES)),
    counts=some.dictionaries(some.sampled_from(WHERES), some.integers(1, 40), min_size=1),
)
def test_no_record_makes_pins_overlap(name, counts):
    assert fault_of(lay_out(BODIES[name], counts), counts) is None


@pytest.mark.parametrize("name", BODIES)
def test_a_pin_is_where_its_station_is(name):
    """Left is the driver's left, and so the left of a drawing seen from above with the front at the top."""
    places = BODIES[name]
    standing = lay_out(places, dict.fromkeys(WHERES, 1)).standing
    at = {where[0]: group[0].at for where, group in standing.items() if where[1] is None}
    assert at[Station.FRONT].y < places.front
    assert at[Station.REAR].y > places.rear
    assert all(at[station].x < CENTER - places.side for station in OUTSIDE_TO_THE_LEFT)
    assert all(at[station].x > CENTER + places.side for station in OUTSIDE_TO_THE_RIGHT)
    assert all(abs(at[station].x - CENTER) < places.side - RADIUS for station in INSIDE)
    assert places.front < at[Station.ENGINE_BAY].y < at[Station.CABIN].y < at[Station.LOAD_SPACE].y < places.rear
    assert at[Station.UNDERSIDE].y > at[Station.REAR].y
    for wheel in AtWheel:
        end = standing[Station.WHEELS, wheel][0].end
        assert (end.x < CENTER) is ("left" in wheel)
        assert end.y == (places.front_axle if "front" in wheel else places.rear_axle)


@pytest.mark.parametrize("name", BODIES)
def test_a_pin_of_roof_and_glass_lies_on_no_edge_of_the_glass_but_on_one_of_the_two(name):
    """How far the glass reaches on the center line is read off the drawing: windshield first, then the rear glass."""
    drawing = (COMPONENT / "bodies" / f"{name.replace(' ', '-')}.html").read_text("utf-8")
    panes = [
        [int(y) for y in re.findall(r"\b200 (\d+)", path)]
        for path in re.findall(r'class="body-plan-glass" d="([^"]+)"', drawing)
    ]
    edges = sorted(edge for pane in panes for edge in (min(pane), max(pane)))
    (pin,) = lay_out(BODIES[name], {(Station.ROOF_AND_GLASS, None): 1}).standing[Station.ROOF_AND_GLASS, None]
    assert edges[0] + RADIUS <= pin.at.y <= (edges[2] - RADIUS if len(edges) > 2 else BODIES[name].rear)
    assert all(abs(pin.at.y - edge) > RADIUS for edge in edges)


@pytest.mark.parametrize("name", BODIES)
def test_lines_end_on_the_body(name):
    standing = lay_out(BODIES[name], dict.fromkeys(WHERES, 3)).standing
    ends = [(where, found.end) for where, group in standing.items() for found in group if found.end]
    places = BODIES[name]
    for where, end in ends:
        assert places.front < end.y < places.rear, where
        assert abs(end.x - CENTER) < places.side + (5 if where[1] else 0), where


def test_every_body_that_a_record_may_name_has_a_drawing_and_places():
    drawings = {path.stem for path in (COMPONENT / "bodies").iterdir()}
    assert {body.value for body in Body} <= set(BODIES)
    assert {name.replace(" ", "-") for name in BODIES} == drawings


@pytest.mark.parametrize("name", BODIES)
def test_coordinates_agree_with_the_drawing(name):
    """Front, rear and side are as far as the path of the outline reaches; the first outlines are the mirrors."""
    drawing = (COMPONENT / "bodies" / f"{name.replace(' ', '-')}.html").read_text("utf-8")
    outlines = re.findall(r'class="body-plan-outline" d="([^"]+)"', drawing)
    numbers = [int(number) for outline in outlines[1:] for number in re.findall(r"-?\d+", outline)]
    across, down = numbers[0::2], numbers[1::2]
    places = BODIES[name]
    assert (min(down), max(down)) == (places.front, places.rear)
    assert (CENTER - min(across), max(across) - CENTER) == (places.side, places.side)
    assert sorted(2 * CENTER - x for x in across) == sorted(across)


def test_pins_carry_the_numbers_of_the_cards_in_walk_order():
    record = a_vehicle(
        vehicle={"body": "pickup", "doors": 2},
        defects=[
            a_defect(1, "underside"),
            a_defect(2, "left side"),
            a_defect(3, "wheels", wheel="right rear"),
            a_defect(4, "wheels"),
            a_defect(5, "left side"),
        ],
    )
    plan = body_plan(record, condition_of(record), BODIES, translator())
    assert plan.drawing.endswith("bodies/pickup-regular-cab.html")
    assert [(pin.number, pin.anchor) for pin in plan.pins] == [
        (1, "defect-2"),
        (2, "defect-5"),
        (3, "defect-3"),
        (4, "defect-4"),
        (5, "defect-1"),
    ]
    assert plan.pins[0].words == "Defect 1: dent, part 2 (left side). Cosmetic only."
    assert [row.words for row in plan.rows] == ["Wheels", "Underside"]


def test_without_defects_there_is_no_drawing():
    record = a_vehicle(defects=[], checks={})
    assert body_plan(record, condition_of(record), BODIES, translator()) is None


def test_a_pin_has_the_effect_that_stands_and_not_the_one_that_is_claimed():
    """A rust hole usually affects safety; without a reason, "looks" does not count."""
    hole = {"id": "hole", "kind": "perforation", "where": "underside, frame rail", "words": "A hole."}
    for more, effect in (({}, Affects.SAFETY), ({"because": "It is a drain hole."}, Affects.LOOKS)):
        record = a_vehicle(defects=[{**hole, "affects": "looks", **more}])
        plan = body_plan(record, condition_of(record), BODIES, translator())
        assert plan is not None
        assert [pin.affects for pin in plan.pins] == [effect]
        assert [of for of, _ in counted_by_effect(record, condition_of(record), translator())] == [effect]


def test_a_wheel_is_named_only_where_the_station_is_wheels():
    with pytest.raises(ValueError, match="no wheel at the station front"):
        a_vehicle(defects=[a_defect(1, "front", wheel="left front")], checks={})


def test_the_demo_store_names_the_wheel_of_every_defect_on_a_wheel():
    store = content_folder().parent / "demo_site" / "vehicles"
    paths = [*store.glob("*/inspection.yaml"), *store.glob("*/visits/*.yaml")]
    files = [yaml.safe_load(path.read_text("utf-8")) for path in paths]
    listed = [file["defects"] for file in files if file.get("defects", "none") != "none"]
    places = [defect["where"] for defects in listed for defect in defects if "where" in defect]
    assert any(place["station"] == "wheels" for place in places)
    assert all("wheel" in place for place in places if place["station"] == "wheels")


@pytest.mark.parametrize("body", BODIES)
def test_stations_of_the_bay_page_are_large_enough_to_tap(body):
    """48 by 48 CSS pixels each (WCAG 2.2, 2.5.5, asks for 44), where the drawing is 256 wide: on a screen of 320."""
    *_, width, height = view_box(BODIES[body])
    per_unit = 256 / width
    spots = [(x / 100 * 256, y / 100 * height * per_unit) for x, y in station_places(BODIES[body]).values()]
    assert len(spots) == len(Station)
    assert all(24 <= x <= 256 - 24 and 24 <= y <= height * per_unit - 24 for x, y in spots)
    assert all(max(abs(a - b), abs(c - d)) >= 48 for (a, c), (b, d) in combinations(spots, 2))
