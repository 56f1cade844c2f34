"""Visits that come in from a zip or a command, and stores of the older format that are converted.

No outside source: the rules are those of the design. Each test reads the store back as a build does.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from threading import Thread
from zipfile import ZipFile

import pytest
import yaml

from sitegen.commands.entry import main as run
from sitegen.disk import one_at_a_time
from sitegen.intake.adding import take_in, take_in_zip
from sitegen.intake.arrival import NEEDED, format_errors, parse_arrival
from sitegen.reading.store import read_store
from sitegen.records.problems import Problem
from sitegen.records.vehicle_record import VehicleRecord
from tests.builders import an_inspection, merged, write_store

TODAY = date(2026, 11, 25)
VISIT = "vehicles/K900/visits/2026-11-02-1412.yaml"


def record_of(store: Path) -> VehicleRecord:
    """Return the one vehicle's current record, as a build reads it."""
    found, problems = read_store(store, TODAY)
    assert found is not None, problems
    return found.vehicles[0].record


def zipped(path: Path, **files: str) -> Path:
    with ZipFile(path, "w") as archive:
        for name, text in files.items():
            archive.writestr(name, text)
    return path


def test_a_visit_from_a_zip_changes_what_it_states_and_nothing_else(tmp_path: Path):
    store = write_store(tmp_path / "store")
    before = record_of(store)
    text = "on: 2026-11-02T14:12-06:00\nat: 65,000 mi\nbrakes: {left_front: {pads: {inner: 4 mm}}}\n"
    file = zipped(tmp_path / "visit.zip", **{VISIT: text})
    stock, problems, later = take_in_zip(store, file, TODAY)
    assert (stock, problems, later is not None and later.visit) == ("K900", (), "2026-11-02-1412")
    after = record_of(store)
    assert after.look_at("brakes.left_front.pads.inner").on == date(2026, 11, 2)
    assert (after.tires, after.checks, after.defects) == (before.tires, before.checks, before.defects)
    _, _, again = take_in_zip(store, file, TODAY)
    assert again is not None
    assert not again.is_new, "the same visit is kept once"


def test_a_visit_with_a_mistake_is_refused_and_names_its_line(tmp_path: Path):
    store = write_store(tmp_path / "store")
    file = zipped(tmp_path / "visit.zip", **{VISIT: "on: 2026-11-02\ntires: {left_frnt: {pressure: 35 psi}}\n"})
    stock, (problem,), _ = take_in_zip(store, file, TODAY)
    assert stock is None
    assert isinstance(problem, Problem)
    assert problem.as_line().startswith(f"visit.zip/{VISIT}:2:9: tires.left_frnt")
    assert not (store / "vehicles/K900/visits").exists()


def test_a_whole_inspection_of_a_known_vehicle_becomes_a_visit_that_the_store_may_overrule(tmp_path: Path):
    store = write_store(tmp_path / "store", ({"price": "12,900"},))
    now = an_inspection(price="9,900", battery={"tested": "500 CCA"}, inspection={"done_on": "2026-11-02"})
    now.pop("defects", None)
    file = zipped(tmp_path / "phone.zip", **{"inspection.yaml": yaml.safe_dump(now)})
    _, problems, later = take_in_zip(store, file, TODAY)
    assert later is not None, problems
    assert (later.visit, later.passed_over, later.not_mentioned) == ("2026-11-02", ("price",), ("fog-light-lens",))
    record = record_of(store)
    assert record.price == 12900
    assert record.battery is not None
    assert record.battery.tested is not None
    assert record.battery.tested.written == "500 CCA"
    assert [defect.id for defect in record.defects] == ["fog-light-lens"]


def test_a_price_of_a_vehicle_with_visits_is_a_visit_and_the_last_one_counts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    store = write_store(tmp_path / "store")
    visits = store / "vehicles/K900/visits"
    visits.mkdir()
    (visits / "2026-11-02.yaml").write_text("on: 2026-11-02\nprice: 13,900\n", "utf-8")
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795600000")  # 2026-11-25
    for amount in ("12,900", "11,900"):
        assert run(["price", str(store), "K900", amount]) == 0
    assert record_of(store).price == 11900
    assert len(list(visits.iterdir())) == 3


def test_an_older_store_is_refused_by_name_and_converted(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    store = write_store(tmp_path / "store", ({"battery": {"tested": "500 CCA"}},), settings={"format": ...})
    first = an_inspection(battery={"tested": "560 CCA"}, inspection={"done_on": "2026-09-01", "at": "63,000 mi"})
    first = merged(first, {"odometer": {"reading": "63,000 mi", "read_on": "2026-09-01"}})
    earlier = store / "vehicles/K900/inspections/2026-09-01.yaml"
    earlier.parent.mkdir()
    earlier.write_text(yaml.safe_dump(first), "utf-8")
    found, problems = read_store(store, TODAY)
    assert found is None
    assert "sitegen convert" in str([problem.mend for problem in problems])
    assert run(["convert", str(store)]) == 0
    assert "K900: its earliest inspection is now inspection.yaml" in capsys.readouterr().out
    record = record_of(store)
    assert record.battery is not None
    assert record.battery.tested is not None
    assert record.battery.tested.written == "500 CCA"
    assert [one.inspection.done_on for one in record.earlier] == [date(2026, 9, 1)]
    assert not earlier.parent.exists()


def test_a_newer_store_is_refused(tmp_path: Path):
    found, problems = read_store(write_store(tmp_path / "store", settings={"format": 3}), TODAY)
    assert found is None
    assert [problem.where for problem in problems] == ["format"]


@pytest.mark.parametrize("stock", ["CON", "nul", "Lpt1"])
def test_a_stock_number_that_some_systems_reserve_is_refused(tmp_path: Path, stock: str):
    found, problems = read_store(write_store(tmp_path / "store", ({"stock": stock},)), TODAY)
    assert found is None
    assert [problem.where for problem in problems] == ["stock"]
    known = dict.fromkeys(NEEDED, "x") | {"stock": stock}
    assert "reserved by some systems" in format_errors(parse_arrival(known))["stock"]


def test_an_intake_waits_until_another_is_done(tmp_path: Path):
    store = write_store(tmp_path / "store")
    done: list[int] = []

    def take_in_nothing() -> None:
        take_in(store, [], TODAY)
        done.append(1)

    waiting = Thread(target=take_in_nothing)
    with one_at_a_time(store / "vehicles"):
        waiting.start()
        waiting.join(0.5)
        assert (waiting.is_alive(), done) == (True, [])
    waiting.join(30)
    assert done == [1]
