"""Judging lining, rotor and drum readings. Limits: 49 CFR 570.5, 570.59(b), (c); the MOT inspection manual."""

from __future__ import annotations

from fractions import Fraction

import pytest

from sitegen.condition.basis.findings import BrakeFinding, SetFinding
from sitegen.condition.basis.forecast import NeedFacts
from sitegen.condition.basis.values import KnownBy, Span, WholeSpan
from tests.condition.judged import EU, GB, US, judged, miles_left, said


def left_front(region=US, vehicle=None, **brake) -> BrakeFinding:
    changes = {"brakes": {"left_front": brake}} | ({"vehicle": vehicle} if vehicle else {})
    return judged(region, **changes).of(BrakeFinding)[0]


def left_rear_drum(vehicle=None, **drum) -> BrakeFinding:
    gone = dict.fromkeys(("pads", "new_pads", "rotor", "rotor_discard", "fitted_at"), ...)
    changes = {"brakes": {"left_rear": gone | {"kind": "drum"} | drum}} | ({"vehicle": vehicle} if vehicle else {})
    return judged(**changes).of(BrakeFinding)[2]


# 1/32 in is 0.79375 mm.
@pytest.mark.parametrize(
    ("pad", "region", "below"),
    [
        ("0.7 mm", US, True),
        ("0.8 mm", US, False),
        ("1/32 in", US, False),
        ("1.4 mm", GB, True),
        ("1.5 mm", GB, False),
        ("1.9 mm", EU, True),
    ],
)
def test_the_inspection_figure_for_a_lining(pad, region, below):
    assert left_front(region, pads={"inner": pad}).below_limit is below


@pytest.mark.parametrize(("bonded", "below"), [(True, True), (False, False), (..., True)])
def test_a_heavy_vehicle_needs_more_of_a_bonded_lining(bonded, below):
    """49 CFR 570.59(c): 1/16 in over the shoe if bonded, 1/32 over the rivets. 1.5 mm lies between the two."""
    found = left_rear_drum({"gross_weight_pounds": 12_000}, shoes={"leading": "1.5 mm"}, bonded=bonded)
    assert found.below_limit is below


# 49 CFR 570.59(b): within the figure that is marked.
@pytest.mark.parametrize(
    ("rotor", "margin", "beyond"),
    [("22.4 mm", "0.4", False), ("22.0 mm", "0", False), ("21.9 mm", "0", True)],
)
def test_a_rotor_against_its_discard_figure(rotor, margin, beyond):
    found = left_front(rotor=rotor, rotor_discard="22.0 mm")
    assert found.metal_margin.millimetres == Fraction(margin)
    assert found.metal_beyond_discard is beyond


def test_a_drum_wears_wider_not_thinner():
    within = left_rear_drum(drum="229.5 mm", drum_discard="230.0 mm")
    beyond = left_rear_drum(drum="230.1 mm", drum_discard="230.0 mm")
    assert (within.metal_margin.millimetres, within.metal_beyond_discard) == (Fraction(1, 2), False)
    assert beyond.metal_beyond_discard is True


@pytest.mark.parametrize(
    ("discard", "marked", "key"),
    [("not marked", False, "brake.rotor.not_marked"), (..., None, "brake.rotor.no_discard")],
)
def test_without_a_discard_figure_there_is_nothing_to_compare(discard, marked, key):
    """No federal standard asks for the mark (NHTSA interpretation 7871, 1992)."""
    found = left_front(rotor_discard=discard)
    assert (found.metal_margin, found.discard_marked) == (None, marked)
    assert key in said(found.remarks)


def test_the_thinner_pad_decides_and_a_difference_is_mentioned():
    """Common practice: 2 mm or more between the two pads of a wheel suggests a part that sticks."""
    found = left_front(pads={"inner": "4 mm", "outer": "6 mm"})
    assert (found.thinnest.millimetres, found.thinnest_place) == (Fraction(4), "inner")
    assert "brake.uneven" in said(found.remarks)
    assert "brake.uneven" not in said(left_front(pads={"inner": "5 mm", "outer": "6.9 mm"}).remarks)


@pytest.mark.parametrize(
    ("renewed", "told"),
    [
        ({}, True),
        ({"before_delivery": [{"what": "New pads.", "renews": ["brakes.left_front"]}]}, True),
        ({"work_done": [{"what": "New pads.", "on": "2026-10-06", "renews": ["brakes.left_front"]}]}, False),
    ],
)
def test_left_and_right_are_compared_until_new_linings_are_in(renewed, told):
    """A promise leaves the old linings on, and their difference is a sign of something that sticks."""
    remarks = judged(brakes={"left_front": {"pads": {"inner": "5 mm"}}}, **renewed).of(SetFinding)[1].remarks
    assert ("brakes.side_to_side" in said(remarks)) is told


def test_usable_lining_counts_from_where_shops_replace():
    """(7 - 3) / (12 - 3) = 44.4 %. Replacing pads at 3 mm is common practice."""
    assert left_front(new_pads="12 mm").usable == Span.at(Fraction(4, 9))


@pytest.mark.parametrize(
    ("check", "key"),
    [
        ("good", "brakes.parking_brake.good"),
        ({"finding": "attention", "note": "Long travel."}, "brakes.parking_brake.attention"),
        (..., "brakes.parking_brake.not_checked"),
    ],
)
def test_the_parking_brake_is_mentioned(check, key):
    assert key in said(judged(checks={"parking_brake": check}).of(SetFinding)[1].remarks)


def front_pads(**brake) -> dict:
    return {"left_front": brake, "right_front": brake}


def test_the_outlook_of_worked_front_pads():
    """New 12 mm, now 7, to 3, after 28,000 mi: 17,000 to 28,000 mi, the high end exactly 28,000 (worked by hand)."""
    line = judged(brakes=front_pads(new_pads="12 mm", fitted_at="36,000 mi")).line("front_brakes")
    assert miles_left(line) == WholeSpan(17_000, 28_000)
    assert line.known_by is KnownBy.FROM_RECORDS


def test_the_outlook_of_worked_rear_pads():
    """New 10 mm, now 6, to 3, after 45,000 mi: 25,000 to 45,000 mi (worked by hand)."""
    rear = {"new_pads": "10 mm", "fitted_at": "19,000 mi"}
    line = judged(brakes={"left_rear": rear, "right_rear": rear}).line("rear_brakes")
    assert miles_left(line) == WholeSpan(25_000, 45_000)


def test_pads_at_the_mark_or_a_rotor_at_its_figure_are_due():
    assert miles_left(judged(brakes=front_pads(pads={"inner": "3 mm"})).line("front_brakes")) == WholeSpan(0, 0)
    worn = judged(brakes=front_pads(rotor="26.0 mm")).line("front_brakes")
    assert miles_left(worn) == WholeSpan(0, 0)
    assert worn.services == ("front_pads_and_rotors",)


def test_the_possible_brake_services_depend_on_the_rotors():
    assert judged().line("front_brakes").services == ("front_pads",)
    assert judged().line("rear_brakes").services == ("rear_pads", "rear_pads_and_rotors")


def test_with_regenerative_braking_typical_life_has_no_upper_end():
    """Hybrids and electric vehicles: often far longer (common practice), and nobody has put a figure on it."""
    line = judged(vehicle={"fuel": "electric"}, brakes=front_pads(fitted_at=...)).line("front_brakes")
    assert miles_left(line).high is None
    assert line.facts.again_distance == WholeSpan(2_500_000, None)


def test_brakes_that_could_not_be_seen_have_no_basis_and_may_be_worn_out():
    line = judged(brakes={"left_front": ..., "right_front": ...}).line("front_brakes")
    assert (miles_left(line), line.facts.not_measured, line.known_by) == (
        WholeSpan(0, 65_000),
        True,
        KnownBy.NOT_KNOWN,
    )
    assert line.facts.worst == NeedFacts(WholeSpan(0, 0), None, own_wear=True)
