"""What tread readings mean. Limits: 49 CFR 570.9(a), 570.62(a); Directive 89/459/EEC; regulation 27 in Great
Britain."""

from __future__ import annotations

from fractions import Fraction

import pytest

from sitegen.condition.basis.findings import SetFinding, TireFinding, WearShape
from sitegen.condition.basis.values import KnownBy, Span, WholeSpan
from sitegen.records.vehicle import Wheel
from tests.condition.judged import EU, GB, US, item, judged, keys, miles_left, said, thirty_seconds


def one_tire(tread: str, region=US, wheel="left_front", **changes) -> TireFinding:
    """Judge a vehicle with only one tire, measured at one place."""
    one_place = {"outer": ..., "center": tread, "inner": ...}
    only = {"tread": one_place, "new_tread": ..., "fitted_at": ..., **changes.pop("tire", {})}
    tires = dict.fromkeys(("left_front", "right_front", "left_rear", "right_rear"), ...) | {wheel: only}
    found = judged(region, tires=tires, **changes).of(TireFinding)
    return next(finding for finding in found if finding.wheel.value == wheel)


# 2/32 in is 1.5875 mm: it lies between 1.59 mm, which meets it, and 1.58 mm.
@pytest.mark.parametrize(
    ("tread", "region", "below"),
    [
        ("2.0/32 in", US, False),
        ("1.9/32 in", US, True),
        ("1/32 in", US, True),
        ("1.59 mm", US, False),
        ("1.58 mm", US, True),
        ("1.59 mm", EU, True),
        ("1.59 mm", GB, True),
        ("1.6 mm", GB, False),
        ("1.6 mm", EU, False),
    ],
)
def test_the_inspection_figure_of_each_region(tread, region, below):
    assert one_tire(tread, region).below_limit is below


@pytest.mark.parametrize(
    ("pounds", "wheel", "below"),
    [
        (10_000, "left_front", False),
        (12_000, "left_front", True),
        (12_000, "left_rear", False),
        (..., "left_front", False),
    ],
)
def test_a_heavy_vehicle_needs_more_tread_in_front(pounds, wheel, below):
    """49 CFR 570.62(a): above 10,000 lb, 4/32 in on a front tire and 2/32 elsewhere. The tire has 3/32."""
    found = one_tire("3/32 in", wheel=wheel, vehicle={"gross_weight_pounds": pounds})
    assert found.below_limit is below


def test_at_the_limit_no_usable_tread_is_left():
    found = one_tire("2/32 in", tire={"new_tread": "10/32 in"})
    assert found.usable == Span.at(Fraction(0))
    assert found.of_original == Span.at(Fraction(1, 5))


def test_usable_and_original_are_two_different_shares():
    """6/32 of 10/32 in with a limit of 2/32: half of what can be used, 60 % of the depth when new."""
    found = one_tire("6/32 in", tire={"new_tread": "10/32 in"})
    assert found.usable == Span.at(Fraction(1, 2))
    assert found.of_original == Span.at(Fraction(3, 5))


def test_without_the_depth_when_new_the_share_is_a_range_and_says_typical():
    """All-season tires have 10/32 to 11/32 in when new (common practice): (5 - 2) / 9 to (5 - 2) / 8."""
    found = one_tire("5/32 in", tire={"kind": "all-season"})
    assert found.new.known_by is KnownBy.TYPICAL
    assert found.usable == Span(Fraction(1, 3), Fraction(3, 8))


def test_a_reading_in_millimetres_is_the_same_tire():
    """5.55625 mm is exactly 7/32 in (NIST SP 811)."""
    inches = one_tire("7/32 in", tire={"new_tread": "10/32 in"})
    metric = one_tire("5.55625 mm", tire={"new_tread": "7.9375 mm"})
    assert (inches.lowest, inches.usable, inches.of_original) == (metric.lowest, metric.usable, metric.of_original)


@pytest.mark.parametrize(
    ("outer", "center", "inner", "shape"),
    [
        (7, 7, 7, WearShape.EVEN),
        (7, 7, 6, WearShape.EVEN),
        (6, 6, 3, WearShape.INNER_SIDE),
        (3, 6, 6, WearShape.OUTER_SIDE),
        (3, 5, 7, WearShape.OUTER_SIDE),
        (4, 7, 4, WearShape.BOTH_SHOULDERS),
        (7, 4, 7, WearShape.CENTER),
        (7, ..., 5, WearShape.NOT_KNOWN),
    ],
)
def test_shape_of_wear(outer, center, inner, shape):
    """Common practice: a spread of 2/32 in or more is uneven; the shape says what to check."""
    places = {"outer": outer, "center": center, "inner": inner}
    tread = {place: depth if depth is ... else f"{depth}/32 in" for place, depth in places.items()}
    found = judged(tires={"left_front": {"tread": tread}}).of(TireFinding)[0]
    assert found.shape is shape
    assert found.spread.millimetres == thirty_seconds(
        max(depth for depth in places.values() if depth is not ...)
        - min(depth for depth in places.values() if depth is not ...)
    )


def test_the_lowest_place_is_the_one_that_counts():
    found = judged(tires={"left_front": {"tread": {"inner": "3/32 in"}}}).of(TireFinding)[0]
    assert (found.lowest.millimetres, found.lowest_place) == (thirty_seconds(3), "inner")


def test_an_unmeasured_tire_is_mentioned_and_gets_no_figure():
    found = judged(tires={"left_front": ...}).of(TireFinding)[0]
    assert (found.lowest, found.usable, found.of_original, found.spread) == (None, None, None, None)
    assert "tire.not_measured" in said(found.remarks)


# Worked case: P225/65R17, new 10/32 in, one tire at 4 and the others at 7. 719.5375 and 714.775 mm: 0.66 % apart.
@pytest.mark.parametrize(("drive", "told"), [("awd", True), ("fwd", False)])
def test_tires_of_an_all_wheel_drive_set_must_match(drive, told):
    tires = {
        wheel.value: {"size": "P225/65R17", "tread": dict.fromkeys(("outer", "center", "inner"), f"{depth}/32 in")}
        for wheel, depth in zip(list(Wheel)[:4], (7, 7, 4, 7), strict=True)
    }
    remarks = judged(vehicle={"drive": drive}, tires=tires).of(SetFinding)[0].remarks
    found = {remark.key: remark.figures for remark in remarks}
    assert ("tires.matched_set_with_size" in found) is told
    assert {str(figures["apart"].amount)[:6] for key, figures in found.items() if "matched" in key} == (
        {str(Fraction("4.7625") / Fraction("719.5375"))[:6]} if told else set()
    )


@pytest.mark.parametrize(("lowest", "told"), [("5/32 in", False), ("4.9/32 in", True)])
def test_a_set_within_two_thirty_seconds_matches(lowest, told):
    """Common practice: all four within 2/32 in; the others have 7/32."""
    remarks = judged(tires={"left_front": {"tread": {"inner": lowest}}}).of(SetFinding)[0].remarks
    assert bool({key for key in said(remarks) if "matched" in key}) is told


def test_an_all_wheel_drive_set_is_replaced_together_and_other_tires_by_axle():
    assert {"all_tires"} == {key for key in keys(judged()) if key.endswith("_tires")}
    by_axle = judged(vehicle={"drive": "fwd"})
    assert {"front_tires", "rear_tires"} == {key for key in keys(by_axle) if key.endswith("_tires")}
    assert (judged().line("all_tires").count, by_axle.line("front_tires").count) == (4, 2)


def test_mixed_sizes_kinds_and_dates_are_mentioned():
    tires = {
        "left_front": {"size": "225/65R17 102H", "kind": "winter", "date_code": "2419"},
        "right_front": {"size": "235/60R18 103H"},
    }
    remarks = said(judged(tires=tires).of(SetFinding)[0].remarks)
    assert {
        "tires.mixed_sizes_on_axle",
        "tires.mixed_kinds_on_axle",
        "tires.mixed_sizes",
        "tires.mixed_ages",
    } <= remarks


@pytest.mark.parametrize(
    ("code", "key"),
    [
        ("2426", "tire.age_under_one"),
        ("0121", "tire.age_check"),
        ("2020", "tire.age_some_replace"),
        ("2016", "tire.age_over"),
        ("409", "tire.date_code.before_2000"),
        ("5418", "tire.date_code.impossible_week"),
        ("4926", "tire.date_code.in_the_future"),
        ("not visible", "tire.date_code.not_visible"),
        (..., "tire.date_code.not_recorded"),
    ],
)
def test_a_tires_age_gives_its_advice(code, key):
    """Common practice: look every year from 5, many makers replace at 6, all by 10."""
    found = judged(tires={"left_front": {"date_code": code}}).of(TireFinding)[0]
    assert key in said(found.remarks)


def test_a_tire_past_ten_years_is_due_whatever_its_tread():
    condition = judged(vehicle={"drive": "fwd"}, tires={"left_front": {"date_code": "2016"}})
    assert item(condition, "front_tires").months == WholeSpan(0, 0)
    assert "outlook.tires.over_age" in said(condition.line("front_tires").basis)


def test_a_load_or_speed_below_the_door_label_is_mentioned():
    """102H carries 850 kg, the label asks for 103 (875 kg); a lower speed symbol is said too (common practice)."""
    found = judged(tires={"left_front": {"size": "235/60R18 102T"}}).of(TireFinding)[0]
    assert {"tire.load_below_placard", "tire.speed_below_placard"} <= said(found.remarks)


@pytest.mark.parametrize(("symbol", "miles_an_hour"), [("S", 112), ("R", 106), ("H", 130), ("V", 149), ("W", 168)])
def test_a_speed_in_miles_is_the_nearest(symbol, miles_an_hour):
    """As tables of the trade have it: 270 km/h are 167.8 mph."""
    found = judged(tires={"left_front": {"size": f"235/60R18 103{symbol}"}}).of(TireFinding)[0]
    (carried,) = (remark for remark in found.remarks if remark.key == "tire.load_and_speed")
    assert carried.figures["miles_an_hour"] == miles_an_hour
    assert (carried.figures["kilograms"], carried.figures["pounds"]) == (875, 1929)


@pytest.mark.parametrize(
    ("renews", "told"),
    [
        (
            "tires",
            [
                "tire.temporary_spare",
                "tire.load_of_spare",
                "tire.plan",
                "tire.usable_typical",
                "tire.age",
                "tire.age_over",
            ],
        ),
        ("tires.spare", ["tire.renewed"]),
    ],
)
def test_a_spare_shows_its_caution_depth_and_age_or_its_renewal(renews, told):
    """Four new tires leave the spare as it was measured; the shape of its wear and its size are no matter."""
    spare = {"size": "T155/90D17 112M", "kind": "temporary spare", "date_code": "2416"}
    uneven = {"tread": {"outer": "7/32 in", "center": "7/32 in", "inner": "4/32 in"}}
    work = {"what": "Fitted new tires.", "on": "2026-10-06", "renews": [renews]}
    found = judged(tires={"spare": spare | uneven}, work_done=[work]).of(TireFinding)[-1]
    assert [remark.key for remark in found.remarks] == told


def test_the_outlook_of_worked_tires():
    """New 10/32, now 6/32, 24,000 mi: 18,000 to 31,000 mi to 2/32, 8,000 to 18,000 to 4/32 (worked by hand)."""
    tires = {wheel.value: {"tread": {"inner": "6/32 in"}} for wheel in list(Wheel)[:4]}
    line = judged(tires=tires).line("all_tires")
    assert miles_left(line) == WholeSpan(18_000, 31_000)
    assert line.known_by is KnownBy.FROM_RECORDS
    plan = next(remark.figures for remark in line.basis if remark.key == "outlook.tires.to_plan")
    assert (plan["low"].miles, plan["high"].miles) == (8_000, 18_000)


def test_a_metric_store_gets_kilometres():
    """New 8.0 mm, now 4.6, to 1.6, 30,000 km, metric gauge: 20,000 to 34,000 km (worked by hand)."""
    tire = {
        "tread": {"outer": ..., "center": "4.6 mm", "inner": ...},
        "new_tread": "8.0 mm",
        "fitted_at": "70,000 km",
    }
    condition = judged(
        EU,
        tires={wheel.value: tire for wheel in list(Wheel)[:4]},
        odometer={"reading": "100,000 km"},
        inspection={"at": "100,000 km", "gauges": ...},
    )
    assert miles_left(condition.line("all_tires")) == WholeSpan(20_000, 34_000)


def test_new_tires_since_the_inspection_get_a_typical_life():
    """Usual life of a set, 35,000 to 65,000 mi (common practice), from the day they were fitted."""
    work = {"what": "Fitted four new tires.", "on": "2026-10-06", "renews": ["tires"]}
    condition = judged(work_done=[work])
    assert miles_left(condition.line("all_tires")) == WholeSpan(35_000, 65_000)
    assert {finding.usable for finding in condition.of(TireFinding)} == {None}
    assert all("tire.renewed" in said(finding.remarks) for finding in condition.of(TireFinding))


def test_work_before_the_inspection_does_not_replace_its_measurements():
    work = {"what": "Fitted four new tires.", "on": "2026-10-01", "renews": ["tires"]}
    assert {finding.renewed for finding in judged(work_done=[work]).of(TireFinding)} == {None}
