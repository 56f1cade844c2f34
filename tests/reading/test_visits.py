"""Files of visits: each mistake is reported at its place, and sound files are folded into the current record.

No outside source: the rules are those of the design.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from sitegen.reading.store import read_store
from sitegen.reading.visits import fold_visits, read_visits
from sitegen.records.problems import Severity
from tests.builders import a_vehicle, write_store
from tests.photos.lots import engine_of

TODAY = date(2026, 11, 25)
DENT = {"id": "door-dent", "kind": "dent", "where": "left side, door", "affects": "looks", "words": "A dent."}
FIRST = a_vehicle(defects=[DENT])


def folded(folder: Path, **files: str):
    """Write files of visits, by moment, and return the current record and the problems as lines."""
    (folder / "visits").mkdir(exist_ok=True)
    for name, text in files.items():
        (folder / "visits" / f"{name.removeprefix('v').replace('_', '-')}.yaml").write_text(text, "utf-8")
    current, problems = fold_visits(FIRST, read_visits(folder, "vehicles/K900"), TODAY)
    is_wrong = any(problem.severity is Severity.ERROR for problem in problems)
    return None if is_wrong else current, [
        problem.as_line().removeprefix("vehicles/K900/visits/") for problem in problems
    ]


def test_a_vehicle_without_visits_has_its_first_record(tmp_path):
    current, problems = fold_visits(FIRST, read_visits(tmp_path, "vehicles/K900"), TODAY)
    assert (current.record, problems) == (FIRST, ())


def test_sound_visits_are_applied_in_the_order_of_their_moments(tmp_path):
    current, problems = folded(
        tmp_path,
        v2026_10_15_1412="on: 2026-10-15T14:12-05:00\nat: 95,000 mi\nby: our salesperson\nprice: 12900\n",
        v2026_10_15_0900="on: 2026-10-15T09:00-05:00\nprice: 13900\nchecks: {wipers_and_washers: good}\n",
    )
    assert problems == []
    assert (current.record.price, current.record.odometer.reading.written) == (12900, "95,000 mi")
    assert current.source_of(("price",)).visit == "2026-10-15-1412"


ON = "on: 2026-10-15\n"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("price: 12900\n", '1:1: on: found nothing; expected the key "on"; to mend, add "on: ..."'),
        (
            "on: 2026-10-15T14:12\n",
            "1:5: on: found 2026-10-15T14:12; expected a day (2026-10-15), or a moment with its zone"
            " (2026-10-15T14:12-05:00); to mend, write the year first; after a time, write how far it is from UTC",
        ),
        (
            f"{ON}tires: {{left_frnt: {{pressure: 35 psi}}}}\n",
            '2:9: tires.left_frnt: found the key "left_frnt"; expected the keys left_front, right_front, left_rear,'
            " right_rear, left_rear_inner, right_rear_inner, spare, dual_rear, placard_size, placard_size_rear,"
            ' placard_pressure and placard_pressure_rear; to mend, did you mean "left_front"?',
        ),
        (
            "on: 2026-10-16\n",
            "1:5: on: found 2026-10-16; expected a file name that begins with the day of the visit (2026-10-16); to"
            " mend, rename the file, or correct the day",
        ),
        (
            f"{ON}at: 1,000 mi\n",
            f"2:5: at: found 1,000 mi; expected at least {FIRST.odometer.reading.written}, the reading before this"
            " visit; to mend, check both readings and both days",
        ),
        (
            f"{ON}defects:\n  - {{id: dor-dent, now: worse}}\n",
            "3:10: defects[1].id: found dor-dent; expected the id of a defect of this vehicle, or a whole new defect;"
            ' to mend, did you mean "door-dent"?',
        ),
        (
            f"{ON}defects:\n  - {{id: door-dent}}\n",
            "3:5: defects[1]: found no now; expected the state of a known defect; to mend, add now: same as before,"
            " worse, put right, not found",
        ),
        (
            f"{ON}defects:\n  - {{id: door-dent, now: put right}}\n",
            "3:26: defects[1].now: found put right, with no word; expected the repair that put the defect right; to"
            " mend, add done: ..., or work_done with settles: [door-dent]",
        ),
        (
            f"{ON}defects:\n  - {{id: door-dent, now: not found}}\n",
            "3:26: defects[1].now: found not found, without a reason; expected the reason; to mend, add reason: ...,"
            " such as what was taken for a defect",
        ),
        (
            f"{ON}withdraw: [tires.left_front.tred]\n",
            "2:12: withdraw[1]: found tires.left_front.tred; expected the path of a value that was stated before; to"
            ' mend, did you mean "tires.left_front.tread"?',
        ),
    ],
)
def test_a_mistake_in_a_visit_is_reported_at_its_place(tmp_path, text, expected):
    current, problems = folded(tmp_path, v2026_10_15=text)
    assert current is None
    assert problems == [f"2026-10-15.yaml:{expected}"]


@pytest.mark.parametrize("day", ["2026-11-26", "2000-01-01"])
def test_a_visit_in_the_future_or_before_the_first_inspection_is_an_error(tmp_path, day):
    current, (problem,) = folded(tmp_path, **{f"v{day}": f"on: {day}\n"})
    assert current is None
    assert problem.startswith(f"{day}.yaml:1:5: on: found {day}; expected a day ")


def test_a_defect_that_is_settled_by_work_needs_no_other_word(tmp_path):
    work = {"what": "Dent pulled out.", "on": date(2026, 10, 15), "settles": ["door-dent"]}
    text = yaml.safe_dump({"work_done": [work], "defects": [{"id": "door-dent", "now": "put right"}]})
    current, problems = folded(tmp_path, v2026_10_15=ON + text)
    assert problems == []
    assert current.record.defects == ()
    assert [done.settles for done in current.record.work_done].count(("door-dent",)) == 1


def test_two_values_on_one_day_are_warned_about_and_do_not_block(tmp_path):
    current, (problem,) = folded(
        tmp_path,
        v2026_10_15_0900="on: 2026-10-15T09:00-05:00\nbattery: {tested: 400 CCA}\n",
        v2026_10_15_1200="on: 2026-10-15T12:00-05:00\nbattery: {tested: 500 CCA}\n",
    )
    assert current.record.battery.tested.written == "500 CCA"
    assert problem == (
        "2026-10-15-1200.yaml:2:19: warning: battery.tested: found another value than in"
        " visits/2026-10-15-0900.yaml, of the same day; expected one value on one day; to mend, check both, and"
        " withdraw the wrong one; until then this one applies"
    )


def test_a_value_that_contradicts_the_record_is_an_error_of_the_visit(tmp_path):
    text = f"{ON}brakes: {{left_rear: {{pads: 5 mm}}}}\n"
    current, problems = folded(tmp_path, v2026_10_15=text)
    rear = FIRST.brakes.left_rear
    assert (current is None) is (rear is None or rear.kind == "drum")
    assert all(problem.startswith("2026-10-15.yaml:2:9: brakes: found brakes") for problem in problems)


DEPTHS = st.integers(3, 9).map(lambda figure: f"{figure}/32 in")
VISITS = st.lists(
    st.fixed_dictionaries(
        {"on": st.dates(date(2026, 10, 20), date(2026, 11, 20)).map(date.isoformat)},
        optional={
            "by": st.sampled_from(["our technician", "our salesperson"]),
            "price": st.integers(9_000, 12_000),
            "tires": DEPTHS.map(lambda depth: {"left_front": {"tread": {"inner": depth}}}),
            "checks": st.fixed_dictionaries({"horn": st.sampled_from(["good", "attention"])}),
        },
    ),
    max_size=3,
    unique_by=lambda visit: visit["on"],
)


@settings(deadline=None, max_examples=12)
@given(VISITS)
def test_a_store_in_a_folder_is_the_fold_of_its_visits(visits):
    """Nothing vanishes, the last of each value counts with its day, and a second reading by the task is the same."""
    with TemporaryDirectory() as room:
        store = write_store(Path(room) / "store", photo_size=(32, 24))
        folder = store / "vehicles" / "K900" / "visits"
        folder.mkdir()
        for visit in visits:
            (folder / f"{visit['on']}.yaml").write_text(yaml.safe_dump(visit), "utf-8")
        found, problems = read_store(store, TODAY)
        assert found is not None, problems
        record, first = found.vehicles[0].record, a_vehicle()
        with engine_of(store, Path(room) / "cache") as engine:
            again, _ = read_store(store, TODAY, engine=engine)
        assert again is not None
        assert again.vehicles[0].record == record
    assert (record.brakes, record.battery, record.defects) == (first.brakes, first.battery, first.defects)
    for key, path in (("price", "price"), ("tires", "tires.left_front.tread.inner"), ("checks", "checks.horn")):
        last = max((visit["on"] for visit in visits if key in visit), default=None)
        assert record.look_at(path).on.isoformat() == (last or first.inspection.done_on.isoformat())
