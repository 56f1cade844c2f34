"""Brake fluid and coolant, paint and rust."""

from __future__ import annotations

import pytest

from sitegen.condition.basis.findings import FluidFinding, PaintFinding, RustFinding
from sitegen.condition.basis.forecast import Band
from sitegen.condition.basis.values import KnownBy
from sitegen.condition.batteries_fluids_body.body import nearest_grade
from sitegen.records.quantities import Share, Temperature
from sitegen.records.wear import FluidGrade
from tests.condition.judged import US, item, judged, said


@pytest.mark.parametrize(
    ("moisture", "key"),
    [
        ("1.9 %", "brake_fluid.good"),
        ("2 %", "brake_fluid.plan"),
        ("2.9 %", "brake_fluid.plan"),
        ("3 %", "brake_fluid.replace"),
    ],
)
def test_moisture_in_brake_fluid(moisture, key):
    """Common practice: under 2 % good, 2 to 3 % plan, 3 % and up replace."""
    assert key in said(judged(brake_fluid={"moisture": moisture}).of(FluidFinding)[0].remarks)


def test_wet_fluid_is_due_now_and_it_was_measured():
    condition = judged(brake_fluid={"moisture": "3 %"})
    assert item(condition, "brake_fluid").band_to is Band.DUE_NOW
    assert condition.line("brake_fluid").known_by is KnownBy.MEASURED


@pytest.mark.parametrize(
    ("grade", "dry", "wet"),
    [
        (FluidGrade.DOT_3, "401 °F", "284 °F"),
        (FluidGrade.DOT_4, "446 °F", "311 °F"),
        (FluidGrade.DOT_5, "500 °F", "356 °F"),
        (FluidGrade.DOT_5_1, "500 °F", "356 °F"),
    ],
)
def test_lowest_boiling_points(grade, dry, wet):
    """49 CFR 571.116 S5.1.1 and S5.1.2, in its Fahrenheit. DOT 5.1 has the minimum of DOT 5 (from memory)."""
    known = US.fluids.brake_fluid[grade]
    assert (known.dry, known.wet) == (Temperature.parse(dry), Temperature.parse(wet))


def test_coolant_is_shown_as_read_and_not_computed():
    found = judged(coolant={"freezes_at": "-34 °F"}).of(FluidFinding)[1]
    assert found.freezes_at.written == "-34 °F"


@pytest.mark.parametrize(
    ("readings", "key"),
    [
        (["90 µm", "180 µm"], "paint.usual"),
        (["85 µm"], "paint.thin"),
        (["120 µm", "200 µm"], "paint.added"),
        (["150 µm", "1000 µm"], "paint.filler"),
        (["5 mil"], "paint.usual"),
    ],
)
def test_paint_readings(readings, key):
    """Common practice: 90 to 180 µm from the factory, more paint from 200, filler above about 1,000. 5 mil is 127
    µm."""
    found = judged(paint=[{"panel": "hood", "readings": readings}]).of(PaintFinding)[0]
    assert key in said(found.remarks)


def test_a_panel_much_thicker_than_the_rest_is_mentioned():
    paint = [{"panel": "roof", "readings": ["95 µm"]}, {"panel": "hood", "readings": ["170 µm"]}]
    roof, hood = judged(paint=paint).of(PaintFinding)
    assert "paint.uneven" in said(hood.remarks)
    assert "paint.uneven" not in said(roof.remarks)


@pytest.mark.parametrize(
    ("area", "grade"),
    [
        ("0 %", "Ri 0"),
        ("0.01 %", "Ri 1"),
        ("0.05 %", "Ri 1"),
        ("0.5 %", "Ri 2"),
        ("1 %", "Ri 3"),
        ("8 %", "Ri 4"),
        ("45 %", "Ri 5"),
        ("4.5 %", "Ri 4"),
    ],
)
def test_degree_of_rusting(area, grade):
    """ISO 4628-3: each degree is a typical area. Halfway between two, the worse; nearest is this project's
    convention."""
    assert nearest_grade(Share.parse(area), US.body.rust).grade == grade


def rusty(kind: str, **changes):
    place = {"station": "right rear", "part": "wheel arch"}
    defect = {"id": "rust", "kind": kind, "where": place, "affects": "looks", "words": "Rust.", **changes}
    return judged(defects=[defect]).of(RustFinding)


def test_rust_is_put_in_words_and_strength_is_a_finding_of_its_own():
    assert said(rusty("surface rust", rusted="1 %")[0].remarks) == {"rust.surface", "rust.spots", "rust.degree"}
    assert said(rusty("perforation")[0].remarks) == {"rust.perforation"}
    assert rusty("scratch") == ()
