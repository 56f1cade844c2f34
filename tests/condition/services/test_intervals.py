"""When services fall due. All intervals are usual figures of the trade (common practice)."""

from __future__ import annotations

import pytest

from sitegen.condition.basis.forecast import Band, NeedFacts
from sitegen.condition.basis.values import KnownBy, WholeSpan
from tests.condition.judged import EU, US, item, judged, keys, miles_left, said

ENGINE = {
    *("engine_oil", "engine_air_filter", "coolant", "spark_plugs", "timing_belt", "accessory_belt", "exhaust"),
    *("automatic_transmission_fluid", "transfer_case_oil", "differential_oil"),
}


def test_a_timing_belt_between_its_limits_may_be_due():
    """Done at 82,000 mi, every 60,000 to 105,000, now at 150,000: due between 142,000 and 187,000, so within
    37,000."""
    condition = judged(
        vehicle={"timing": "belt"},
        odometer={"reading": "150,000 mi"},
        inspection={"at": "150,000 mi"},
        services=[{"service": "timing_belt", "at": "82,000 mi", "done_on": "2024-06"}],
    )
    line = condition.line("timing_belt")
    assert miles_left(line) == WholeSpan(0, 37_000)
    assert line.known_by is KnownBy.FROM_RECORDS
    assert item(condition, "timing_belt").band_from is Band.DUE_NOW


def test_a_timing_belt_without_a_record_is_never_called_fine():
    condition = judged(
        vehicle={"timing": "belt"}, odometer={"reading": "150,000 mi"}, inspection={"at": "150,000 mi"}
    )
    found = item(condition, "timing_belt")
    assert (found.budget_now, found.band_from) == (True, Band.NO_BASIS)
    assert "outlook.service.no_record" in said(condition.line("timing_belt").basis)


def test_without_a_record_a_new_vehicle_is_not_due_yet():
    """At 20,000 mi and two years old, even a belt that was never touched has at least 40,000 mi to go."""
    condition = judged(
        vehicle={"timing": "belt", "year": 2025}, odometer={"reading": "20,000 mi"}, inspection={"at": "20,000 mi"}
    )
    line = condition.line("timing_belt")
    assert miles_left(line) == WholeSpan(40_000, 105_000)
    assert line.known_by is KnownBy.TYPICAL
    assert said(line.basis) >= {"outlook.service.not_due_since_new"}


def test_a_timing_chain_has_no_interval_and_an_unknown_drive_is_mentioned():
    assert "timing_belt" not in keys(judged())
    unknown = judged(vehicle={"timing": ...})
    assert item(unknown, "timing_belt").band_from is Band.NO_BASIS
    assert said(unknown.line("timing_belt").basis) == {"outlook.service.timing_not_known"}
    assert unknown.line("timing_belt").facts.need.days is None


def test_an_electric_vehicle_has_no_engine_services():
    vehicle = {"fuel": "electric", "transmission": "single speed", "timing": ...}
    assert not keys(judged(vehicle=vehicle)) & ENGINE
    assert {"brake_fluid", "cabin_filter", "tire_rotation", "wiper_blades"} <= keys(judged(vehicle=vehicle))


@pytest.mark.parametrize(
    ("transmission", "service"),
    [
        ("automatic", "automatic_transmission_fluid"),
        ("continuously variable", "continuously_variable_transmission_fluid"),
        ("manual", "manual_transmission_oil"),
    ],
)
def test_each_transmission_has_its_own_fluid(transmission, service):
    of_transmissions = {key for key in keys(judged(vehicle={"transmission": transmission})) if "transmission" in key}
    assert of_transmissions == {service}


@pytest.mark.parametrize(("fuel", "has_plugs"), [("gasoline", True), ("diesel", False), ("hybrid", True)])
def test_a_diesel_has_no_spark_plugs(fuel, has_plugs):
    assert ("spark_plugs" in keys(judged(vehicle={"fuel": fuel}))) is has_plugs


OF_ONE_FUEL = {
    *("spark_plugs", "diesel_fuel_filter", "diesel_exhaust_fluid", "diesel_particulate_filter"),
    *("fuel_tank_inspection", "hybrid_battery_filter", "electronics_coolant", "reduction_gear_oil", "coolant"),
    "traction_battery",
}


# Common practice, as content/reference/intervals.yaml marks it; no outside table says which vehicle has what.
@pytest.mark.parametrize(
    ("fuel", "has"),
    [
        ("gasoline", {"spark_plugs", "coolant"}),
        ("flex fuel", {"spark_plugs", "coolant"}),
        ("natural gas", {"spark_plugs", "coolant", "fuel_tank_inspection"}),
        ("diesel", {"coolant", "diesel_fuel_filter", "diesel_exhaust_fluid", "diesel_particulate_filter"}),
        ("hybrid", {"spark_plugs", "coolant", "hybrid_battery_filter", "electronics_coolant", "traction_battery"}),
        ("plug-in hybrid", {"spark_plugs", "coolant", "electronics_coolant", "traction_battery"}),
        ("electric", {"electronics_coolant", "reduction_gear_oil", "traction_battery"}),
        ("hydrogen", {"electronics_coolant", "reduction_gear_oil"}),
    ],
)
def test_each_fuel_has_its_own_services_only(fuel, has):
    assert keys(judged(vehicle={"fuel": fuel})) & OF_ONE_FUEL == has
    not_for = US.vocabulary.services_not_for[fuel]
    assert not has & set(not_for)


@pytest.mark.parametrize(
    ("drive", "has"),
    [
        ("fwd", set()),
        ("rwd", {"differential_oil"}),
        ("awd", {"differential_oil", "transfer_case_oil"}),
        ("4wd", {"differential_oil", "transfer_case_oil"}),
    ],
)
def test_each_drive_has_the_gear_services_of_its_driven_axles(drive, has):
    assert keys(judged(vehicle={"drive": drive})) & {"differential_oil", "transfer_case_oil"} == has


def test_whichever_of_miles_and_months_comes_first():
    """Oil from September 28, 2026 at 64,000 mi, 5,000 to 10,000 mi or 6 to 12 months: as of October 4,
    2026, in 175 days (March 28) to 359 (September 28, 2027). At 12,000 a year: 4 to 10 months."""
    condition = judged(miles_a_year=12_000)
    facts = condition.line("engine_oil").facts
    assert (facts.need.distance, facts.need.days) == (WholeSpan(495_000, 995_000), WholeSpan(175, 359))
    assert item(condition, "engine_oil").months == WholeSpan(4, 10)


def test_the_shops_own_work_counts_as_a_record():
    """Work in the list renews a service as a bill in the papers would; the base vehicle's oil was done by the
    shop."""
    line = judged(services=[]).line("engine_oil")
    assert line.known_by is KnownBy.FROM_RECORDS


def test_the_later_of_two_records_counts():
    services = [
        {"service": "coolant", "done_on": "2025-09-01", "at": "55,000 mi"},
        {"service": "coolant", "done_on": "2019", "at": "14,000 mi"},
    ]
    line = judged(services=services).line("coolant")
    assert {remark.figures["at"].miles for remark in line.basis if "at" in remark.figures} == {55_000}


def test_a_record_without_mileage_is_bounded_by_the_readings_in_the_papers():
    """Plugs in 2024, between 40,100 mi of September 2023 and 64,000 now; every 60,000 to 120,000: 36,100 to
    120,000."""
    line = judged(services=[{"service": "spark_plugs", "done_on": "2024"}]).line("spark_plugs")
    assert miles_left(line) == WholeSpan(36_000, 120_000)


def test_a_less_precise_date_never_narrows_the_range():
    for precise, vague in (("2025-03-14", "2025-03"), ("2025-03", "2025")):
        exact, loose = (
            judged(services=[{"service": "brake_fluid", "done_on": day}]).line("brake_fluid").facts.need.days
            for day in (precise, vague)
        )
        assert loose.low <= exact.low
        assert loose.high >= exact.high


def test_promised_work_resets_the_clock_and_says_so():
    promise = {"what": "Change the brake fluid.", "renews": ["services.brake_fluid"]}
    line = judged(before_delivery=[promise]).line("brake_fluid")
    assert line.facts.need.days == WholeSpan(731, 1_096)  # October 4, 2026 to that day of 2028 and of 2029
    assert "outlook.service.promised" in said(line.basis)


def test_fresh_coolant_is_no_worse_than_the_first_fill_that_it_replaces():
    """First fill 100,000 to 150,000 mi, then 50,000: changed at 64,000, it is due at 114,000 to 150,000."""
    promise = {"what": "Change the coolant.", "renews": ["services.coolant"]}
    assert miles_left(judged(before_delivery=[promise]).line("coolant")) == WholeSpan(50_000, 86_000)


@pytest.mark.parametrize(
    ("check", "key", "days"),
    [
        ("good", "outlook.check.good", None),
        ({"finding": "attention", "note": "One leaks."}, "outlook.check.due", WholeSpan(0, 0)),
        (..., "outlook.check.not_checked", None),
        ("not fitted", "outlook.check.not_checked", None),
    ],
)
def test_a_service_without_an_interval_gets_no_date(check, key, days):
    line = judged(checks={"shock_absorbers": check}).line("shock_absorbers")
    assert said(line.basis) == {key}
    assert (miles_left(line), line.facts.need.days) == (None, days)


def a_defect(part: str, kind: str = "worn part", affects: str = "function", words: str = "See there."):
    return {
        "id": "found",
        "kind": kind,
        "where": {"station": "engine bay", "part": part},
        "affects": affects,
        "words": words,
    }


BELTS = {"finding": "attention", "note": "The belt is cracked."}


@pytest.mark.parametrize(
    ("service", "changes", "due"),
    [
        ("accessory_belt", {"checks": {"belts_and_hoses": BELTS}}, "now"),
        ("accessory_belt", {"defects": [a_defect("accessory belt")]}, "now"),
        (
            "accessory_belt",
            {"checks": {"belts_and_hoses": {**BELTS, "note": {"es": "Las correas están agrietadas."}}}},
            "now",
        ),
        ("accessory_belt", {"checks": {"belts_and_hoses": "attention"}}, "maybe"),
        (
            "accessory_belt",
            {"checks": {"belts_and_hoses": {**BELTS, "note": "A heater hose is soft."}}},
            "by interval",
        ),
        (
            "accessory_belt",
            {"checks": {"belts_and_hoses": {**BELTS, "note": "The timing belt is cracked."}}},
            "by interval",
        ),
        ("timing_belt", {"checks": {"belts_and_hoses": {**BELTS, "note": "The timing belt is cracked."}}}, "now"),
        ("wiper_blades", {"checks": {"wipers_and_washers": {**BELTS, "note": "The blades leave streaks."}}}, "now"),
        (
            "wiper_blades",
            {"checks": {"wipers_and_washers": {**BELTS, "note": "The rear washer is weak."}}},
            "by interval",
        ),
        ("bulb", {"defects": [a_defect("left headlight", "cloudy lens")]}, "nobody can say"),
        ("bulb", {"checks": {"headlights": {**BELTS, "note": "The lens is cloudy."}}}, "nobody can say"),
        ("bulb", {"checks": {"tail_and_brake_lights": {**BELTS, "note": "One bulb is out."}}}, "now"),
        ("bulb", {"checks": {"headlights": "attention"}}, "maybe"),
        ("exhaust", {"defects": [a_defect("exhaust", "surface rust", "looks")]}, "nobody can say"),
        ("exhaust", {"defects": [a_defect("muffler", "perforation", "safety")]}, "now"),
    ],
)
def test_a_finding_of_the_walk_brings_only_its_own_service_forward(service, changes, due):
    """A cracked belt is due whatever its interval says; a cloudy lens is no bulb."""
    by_interval = judged(vehicle={"timing": "belt"}).line(service).facts
    facts = judged(vehicle={"timing": "belt"}, **changes).line(service).facts
    assert (facts.need.distance, facts.need.days) == {
        "now": (None, WholeSpan(0, 0)),
        "maybe": (
            by_interval.need.distance,
            WholeSpan(0, by_interval.need.days.high if by_interval.need.days else None),
        ),
        "by interval": (by_interval.need.distance, by_interval.need.days),
        "nobody can say": (None, None),
    }[due]


def test_a_service_renewed_since_is_not_made_due_by_the_walk():
    work = {"what": "New belt.", "on": "2026-10-05", "at": "64,000 mi", "renews": ["services.accessory_belt"]}
    line = judged(checks={"belts_and_hoses": BELTS}, work_done=[work]).line("accessory_belt")
    assert miles_left(line) == WholeSpan(60_000, 100_000)


def test_one_sided_wear_suggests_an_alignment_unless_it_was_found_good():
    tires = {"left_front": {"tread": {"inner": "4/32 in"}}}
    assert "wheel_alignment" in keys(judged(tires=tires))
    assert "wheel_alignment" not in keys(judged(tires=tires, checks={"wheel_alignment": "good"}))
    unchecked = judged().line("wheel_alignment").facts
    assert (unchecked.need, unchecked.worst) == (NeedFacts(None, None), NeedFacts(None, WholeSpan(0, 0)))


def test_a_region_in_kilometres_rounds_outward_to_thousands_of_them():
    """5,000 mi are 8,046.7 km and 10,000 are 16,093.4; about 80 km were driven since: 7,966 to 16,013 km are left."""
    assert miles_left(judged(EU).line("engine_oil")) == WholeSpan(7_000, 17_000)
    assert miles_left(judged(US).line("engine_oil")) == WholeSpan(4_000, 10_000)


def test_attention_to_a_defect_that_was_put_right_is_settled():
    """The check names the defect; work that settles the defect answers the check too."""
    check = {"exhaust": {"finding": "attention", "note": "A clamp is loose.", "defect": "fog-light-lens"}}
    work = {"what": "Mended it.", "on": "2026-10-05", "settles": ["fog-light-lens"]}
    assert said(judged(checks=check).line("exhaust").basis) == {"outlook.check.due"}
    assert said(judged(checks=check, work_done=[work]).line("exhaust").basis) == {"outlook.check.answered"}
