"""Whole vehicles: made up by hypothesis, and the odd ones that a lot may hold."""

from __future__ import annotations

import math
from dataclasses import is_dataclass
from datetime import date
from importlib import import_module
from pkgutil import walk_packages
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as some

import sitegen.condition
from sitegen.condition.basis.findings import BrakeFinding, Condition, TireFinding
from sitegen.condition.basis.forecast import Band, ItemFacts
from sitegen.condition.basis.values import KnownBy, WholeSpan
from sitegen.condition.judging import JUDGES, judge, judge_gate
from sitegen.records.money.prices import PriceList
from sitegen.records.quantities import Distance
from tests.builders import a_vehicle, merged
from tests.condition.judged import AVERAGE, US, item, judged, keys, miles_left
from tests.condition.vehicles import WHEELS, changes

NOTHING: dict[str, Any] = dict.fromkeys(("tires", "brakes", "brake_fluid", "battery"), ...) | {
    "services": [],
    "work_done": [],
    "checks": {},
}


def is_due(facts: ItemFacts) -> bool:
    return facts.need.days is not None and facts.need.days.high == 0


def ends(facts: ItemFacts, a_year: int = AVERAGE) -> tuple[float, float] | None:
    """Return the earliest and latest month of an item at a distance a year; None without a basis or a measurement."""
    if facts.not_measured:
        return None
    spans = [
        (span.low * size, math.inf if span.high is None else span.high * size)
        for span, size in ((facts.need.distance, 12 / a_year), (facts.need.days, 12 / 365.25))
        if span is not None
    ]
    return (min(low for low, _ in spans), min(high for _, high in spans)) if spans else None


@settings(max_examples=60)
@given(changes())
def test_no_figure_is_invented(vehicle):
    """What was not measured has no figure, and what has no odometer to rely on has no miles."""
    condition = judged(**vehicle)
    for finding in condition.of(TireFinding):
        assert (finding.lowest is None) == (not (finding.depths and finding.depths.measured()))
        assert finding.lowest is not None or (finding.usable, finding.of_original) == (None, None)
    for brake in condition.of(BrakeFinding):
        assert brake.thinnest is not None or brake.usable is None
    if vehicle["odometer"]["statement"] != "actual":
        measured = [line for line in condition.lines if not (line.facts.not_measured or is_due(line.facts))]
        assert {miles_left(line) for line in measured} <= {None, WholeSpan(0, 0)}


@settings(max_examples=60)
@given(changes())
def test_findings_below_a_limit_agree_with_the_gates_holds(vehicle):
    """The gate is told without the findings, which pages show: they say the same of every wheel."""
    condition, record = judged(**vehicle), a_vehicle(**vehicle)
    shown = {f"tires.{tire.wheel}.tread" for tire in condition.of(TireFinding) if tire.below_limit}
    for brake in condition.of(BrakeFinding):
        shown |= {f"brakes.{brake.wheel}.pads"} if brake.below_limit else set()
        shown |= {f"brakes.{brake.wheel}.rotor"} if brake.metal_beyond_discard else set()
    limits = ("gate.tire_below", "gate.lining_below", "gate.rotor_beyond")
    held = [fact.path for fact in condition.standing if fact.said.key in limits]
    assert sorted(".".join(map(str, path[:3])) for path in held) == sorted(shown)
    assert judge_gate(record, US) == condition.gate


RENEWABLE = {
    "front_tires": ["tires"],
    "rear_tires": ["tires"],
    "all_tires": ["tires"],
    "front_brakes": ["brakes.left_front", "brakes.right_front"],
    "rear_brakes": ["brakes.left_rear", "brakes.right_rear"],
    "battery": ["battery"],
    "engine_oil": ["services.engine_oil"],
    "coolant": ["services.coolant"],
    "timing_belt": ["services.timing_belt"],
    "brake_fluid": ["services.brake_fluid"],
    "spark_plugs": ["services.spark_plugs"],
    "cabin_filter": ["services.cabin_filter"],
}


HARDLY_WORN_PADS = {"pads": {"inner": "8 mm", "outer": "8 mm"}, "fitted_at": "1,000 mi"}
HARDLY_WORN = {
    "vehicle": {"fuel": "electric"},
    "brakes": {"left_front": HARDLY_WORN_PADS, "right_front": HARDLY_WORN_PADS},
}
OF_UNKNOWN_AGE = {
    "tires": {wheel: {"date_code": ..., "fitted_on": ..., "new_tread": ..., "fitted_at": ...} for wheel in WHEELS}
}
COOLANT_OF_NEW = {"odometer": {"reading": "10,000 mi"}, "inspection": {"at": "10,000 mi"}, "vehicle": {"year": 2026}}


@settings(max_examples=60)
@given(changes(), some.sampled_from(sorted(RENEWABLE)))
@example(HARDLY_WORN, "front_brakes")
@example(OF_UNKNOWN_AGE, "all_tires")
@example(COOLANT_OF_NEW, "coolant")
def test_renewing_an_item_never_brings_it_closer(vehicle, key):
    before = judged(**vehicle)
    after = judged(**vehicle, before_delivery=[{"what": "Renew it.", "renews": RENEWABLE[key]}])
    for a_year in (1_000, 40_000) if key in keys(before) else ():
        old, new = ends(before.line(key).facts, a_year), ends(after.line(key).facts, a_year)
        if old is not None and new is not None:
            assert new[0] >= old[0]
            assert new[1] >= old[1]


@settings(max_examples=60)
@given(changes(), some.sampled_from(WHEELS), some.integers(0, 40))
def test_less_tread_never_lengthens_life(vehicle, wheel, quarters):
    if vehicle["tires"][wheel] is ...:
        return
    deep, shallow = (
        judged(**merged(vehicle, {"tires": {wheel: {"tread": {"outer": f"{depth / 4}/32 in", "inner": ...}}}}))
        for depth in (quarters + 4, quarters)
    )
    for key in keys(deep) & {"front_tires", "rear_tires", "all_tires"}:
        more, less = ends(deep.line(key).facts), ends(shallow.line(key).facts)
        known_depth = vehicle["tires"][wheel]["new_tread"] is ... or quarters + 4 <= 40
        if known_depth and more is not None and less is not None:
            assert less[0] <= more[0]
            assert less[1] <= more[1]


def test_findings_are_immutable():
    """Pages, sheets and data are made from the same findings, one after another."""
    modules = [import_module(found.name) for found in walk_packages(sitegen.condition.__path__, "sitegen.condition.")]
    values = [value for module in modules for value in vars(module).values() if is_dataclass(value)]
    assert [value for value in values if not value.__dataclass_params__.frozen] == []
    assert len(values) > 20


def figures_of(condition: Condition) -> list[tuple[Any, ...]]:
    tires = [(tire.usable, tire.of_original, tire.below_limit, tire.shape) for tire in condition.of(TireFinding)]
    return [*tires, *((line.facts.key, miles_left(line), line.known_by) for line in condition.lines)]


@settings(max_examples=40)
@given(some.integers(0, 44), some.integers(0, 44))
def test_millimetres_and_thirty_seconds_agree(outer, inner):
    """A 32nd of an inch is exactly 0.79375 mm (NIST SP 811). The same gauge, so the same error."""
    gauge: dict[str, Any] = {"inspection": {"gauges": {"tread": {"name": "gauge", "reads_to": "1 mm"}}}}

    def with_tread(written) -> Condition:
        tread = {"outer": written(outer), "center": ..., "inner": written(inner)}
        return judged(tires={wheel: {"tread": tread} for wheel in WHEELS}, **gauge)

    inches = with_tread(lambda quarters: f"{quarters / 4:g}/32 in")
    metric = with_tread(lambda quarters: f"{quarters * 0.1984375:.7f} mm")
    assert figures_of(inches) == figures_of(metric)


@pytest.mark.parametrize(
    "vehicle",
    [
        {},
        {"vehicle": {"year": 1996}, "odometer": {"statement": "exempt"}},
        {"vehicle": {"year": 2027}, "odometer": {"reading": "0 mi"}, "inspection": {"at": "0 mi"}},
        {"odometer": {"reading": "400,000 mi"}, "inspection": {"at": "400,000 mi"}},
        {"odometer": {"reading": ...}, "inspection": {"at": ...}},
        {"tires": {"left_front": {"tread": {"inner": "6/32 in"}, "date_code": "2423"}}},
    ],
    ids=["plain", "of 1996", "of 2027 with 0 miles", "400,000 miles", "odometer does not work", "one tire"],
)
@pytest.mark.parametrize("year", [1_000, 40_000])
def test_without_measurements_only_papers_and_typical_lives_are_reported(vehicle, year):
    """Only wear that was measured gives miles for what wears; without a record there is no basis, or not due yet."""
    condition = judged(**merged(NOTHING, vehicle), miles_a_year=year)
    tires = {"front_tires", "rear_tires", "all_tires"} if "tires" not in vehicle else set()
    for key in keys(condition) & (tires | {"front_brakes", "rear_brakes"}):
        line = condition.line(key)
        assert (line.facts.not_measured, line.known_by) == (True, KnownBy.NOT_KNOWN)
    for line in condition.lines:
        assert line.known_by in (KnownBy.NOT_KNOWN, KnownBy.TYPICAL, KnownBy.FROM_RECORDS)
        assert line.basis
    assert condition.gate.may_publish is True


def test_one_measured_tire_is_judged_and_the_others_are_called_unmeasured():
    condition = judged(tires=dict.fromkeys(("right_front", "left_rear", "right_rear"), ...))
    assert [finding.lowest is None for finding in condition.of(TireFinding)] == [False, True, True, True]
    remark = next(said for said in condition.line("all_tires").basis if said.count is not None)
    assert (remark.key, remark.count) == ("outlook.tires.not_all_measured", 3)


def test_a_worn_pair_of_brakes_costs_once():
    """Two front pads at the mark are one job: 170-260 for both wheels, so 17,000 to 26,000 cents."""
    prices = PriceList.model_validate({"prices": {"front_pads": "170-260"}})
    worn = {wheel: {"pads": {"inner": "3 mm"}} for wheel in ("left_front", "right_front")}
    condition = judged(prices=prices, brakes=worn)
    assert item(condition, "front_brakes").band_to is Band.DUE_NOW
    figure = condition.outlook.first_year.due
    assert 14_000 <= figure.low <= figure.about <= figure.high <= 35_000


def test_the_distance_a_year_counts_in_the_regions_unit():
    """12,000 km a year are 7,456 whole miles."""
    condition = judge(a_vehicle(), US, None, Distance.parse("12,000 km"))
    assert condition.outlook.a_year == 7_456


@pytest.mark.parametrize(
    ("read_on", "reading", "done_on", "at", "counted_from"),
    [
        ("2026-10-04", "64,000 mi", "2026-10-04", "64,000 mi", date(2026, 10, 4)),
        ("2026-10-09", "64,010 mi", "2026-10-04", "64,000 mi", date(2026, 10, 9)),
        ("2026-10-04", "64,000 mi", "2026-10-09", "64,010 mi", date(2026, 10, 9)),
        ("2026-10-04", "64,000 mi", "2026-10-09", "64,000 mi", date(2026, 10, 9)),
        ("2026-10-04", "64,000 mi", "2026-10-09", ..., date(2026, 10, 4)),
        ("2026-10-04", ..., "2026-10-03", ..., date(2026, 10, 4)),
    ],
)
def test_everything_counts_from_the_day_of_the_latest_reading(read_on, reading, done_on, at, counted_from):
    condition = judged(odometer={"reading": reading, "read_on": read_on}, inspection={"done_on": done_on, "at": at})
    assert condition.as_of == counted_from


def test_every_judge_is_in_the_list_once():
    assert len(JUDGES) == len(set(JUDGES)) == 11
