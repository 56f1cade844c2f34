"""The rulers of a set have one scale, and the legend explains their hatching."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.pages.composing import translator_for
from sitegen.pages.vehicle.measured.tires_and_brakes import WheelSet, brake_set, tire_set
from tests.builders import a_vehicle, some_settings
from tests.condition.judged import US, judged

ENGLISH = translator_for("en", some_settings(), US)


def sets(**changes: Any) -> tuple[WheelSet, WheelSet]:
    record, condition = a_vehicle(**changes), judged(**changes)
    return tire_set(record, condition, ENGLISH), brake_set(record, condition, ENGLISH)


def test_all_rulers_of_a_set_have_one_scale():
    """One tire of 16/32 in, one axle of thicker pads: every ruler of the set ends where theirs does."""
    deep = {"tread": {"outer": "16/32 in", "center": "16/32 in", "inner": "16/32 in"}, "new_tread": ...}
    thick = {"pads": {"inner": "12 mm", "outer": "14 mm"}, "new_pads": "14 mm"}
    for wheels in sets(tires={"left_rear": deep}, brakes={"left_front": thick}):
        ends = {wheel.ruler.ticks[-1].number for wheel in wheels.wheels}
        assert len(ends) == 1, wheels.anchor
        assert len({wheel.ruler.limit_x for wheel in wheels.wheels}) == 1


# 49 CFR 570.62(a): above 10,000 lb, 4/32 in on each front tire, 2/32 in on the others.
@pytest.mark.parametrize(
    ("pounds", "figures"),
    [
        (5110, "the inspection figure of 2/32 in."),
        (12_000, "the inspection figure, 4/32 in in front and 2/32 in at the rear."),
    ],
)
def test_the_legend_names_the_figure_of_each_axle(pounds: int, figures: str):
    tires, _ = sets(vehicle={"gross_weight_pounds": pounds})
    assert figures in tires.legend.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("right", "told"),
    [
        ("6/32 in", "At their lowest points, the two front tires are the same."),
        ("7/32 in", "At their lowest points, the two front tires differ by 1/32 in."),
        ("9/32 in", "The left and right front tires differ by 3/32 in. Ask us why."),
    ],
)
def test_tires_of_an_axle_are_compared_in_words(right: str, told: str):
    """The base vehicle has 6/32 in at the left front."""
    depths = dict.fromkeys(("outer", "center", "inner"), right)
    tires, _ = sets(tires={"right_front": {"tread": depths}})
    said = [remark.text.replace("\u00a0", " ") for remark in (*tires.remarks, *tires.quiet_remarks)]
    assert told in said
