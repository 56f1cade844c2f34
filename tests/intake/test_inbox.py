"""The inbox: whole files come in once, in the order of their moments; the others stay or move aside with a reason.

No outside source: the rules are those of the design. The zips are made with zipfile, and each test reads the store
back as a build does.
"""

from __future__ import annotations

import os
import shutil
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
import yaml

from sitegen.commands.entry import main as run
from sitegen.intake.inbox import taking_in
from sitegen.intake.inbox.journal import read_journal
from sitegen.intake.inbox.taking_in import take_in_inbox
from sitegen.reading.store import read_store
from sitegen.records.store import InboxSettings
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.arrivals import InboxReport
from sitegen.records.visits.permissions import CHANGE_OF_KEY, Change
from sitegen.records.visits.visit import VISIT
from tests.builders import an_inspection, photo_names, write_photo, write_store

TODAY = date(2026, 11, 25)
MOMENT = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
ALL = InboxSettings(may_change=tuple(Change))


@pytest.fixture
def store(tmp_path: Path) -> Path:
    folder = write_store(tmp_path / "store")
    (folder / "inbox").mkdir()
    return folder


def taken_in(store: Path, settings: InboxSettings = ALL, **how: Any) -> InboxReport:
    return take_in_inbox(store, settings, MOMENT, TODAY, still_for=how.pop("still_for", 0), **how)


def send(store: Path, name: str, files: dict[str, str | Path]) -> Path:
    path = store / "inbox" / name
    with ZipFile(path, "w") as archive:
        for inside, content in files.items():
            archive.writestr(inside, content) if isinstance(content, str) else archive.write(content, inside)
    return path


def send_visit(store: Path, name: str, on: str, values: str, stock: str = "K900") -> Path:
    file = f"vehicles/{stock}/visits/{on.replace(':', '').replace('T', '-')[:15]}.yaml"
    return send(store, name, {file: f"on: {on}{'-06:00' if 'T' in on else ''}\nby: our salesperson\n{values}"})


def send_vehicle(store: Path, name: str, **changes: Any) -> Path:
    inspection = an_inspection(**changes)
    files: dict[str, str | Path] = {"inspection.yaml": yaml.safe_dump(inspection, sort_keys=False)}
    for photo in photo_names(inspection):
        write_photo(store / "on_the_phone" / photo)
        files[f"photos/{photo}"] = store / "on_the_phone" / photo
    return send(store, name, files)


def record_of(store: Path, stock: str = "K900") -> VehicleRecord:
    found, problems = read_store(store, TODAY)
    assert found is not None, problems
    return next(vehicle.record for vehicle in found.vehicles if vehicle.record.stock == stock)


def visits_of(store: Path, stock: str = "K900") -> list[str]:
    return sorted(path.name for path in (store / "vehicles" / stock / "visits").glob("*"))


def test_files_come_in_by_their_moments_whatever_their_names(store: Path):
    send_visit(store, "a.zip", "2026-11-04T15:00", "at: 65,300 mi\n")
    send_visit(store, "b.zip", "2026-11-04T09:00", "at: 65,200 mi\n")
    send_visit(store, "c.zip", "2026-11-03", "at: 65,100 mi\n")
    report = taken_in(store)
    assert [entry.file for entry in report.taken] == ["c.zip", "b.zip", "a.zip"]
    assert record_of(store).odometer.reading.written == "65,300 mi"
    assert [entry.changes for entry in report.taken] == [("measures",)] * 3
    assert sorted(path.name for path in (store / "inbox/taken").iterdir()) == ["a.zip", "b.zip", "c.zip"]
    assert taken_in(store) == InboxReport()


def test_a_new_vehicle_and_a_visit_to_it_arrive_in_any_order(store: Path):
    new = {"stock": "K901", "vin": "00ZWA5H4XJD000102", "status": "preparing", "price": ...}
    send_visit(store, "1.zip", "2026-11-03", "at: 65,100 mi\n", "K901")
    (waiting,) = taken_in(store).waiting
    assert waiting.words == ("It waits for the first inspection of K901, which has not come in.",)
    send_vehicle(store, "2.zip", **new)
    report = taken_in(store)
    assert [entry.file for entry in report.taken] == ["2.zip", "1.zip"]
    assert visits_of(store, "K901") == ["2026-11-03.yaml"]


def test_half_a_file_stays_until_it_is_whole_and_is_given_up_later(store: Path):
    whole = send_visit(store, "x.zip", "2026-11-03", "at: 65,100 mi\n")
    content = whole.read_bytes()
    whole.write_bytes(content[:-30])
    assert [entry.words for entry in taken_in(store).waiting] == [("It is still arriving.",)]
    whole.write_bytes(content[:60] + bytes(len(content) - 60))
    assert len(taken_in(store).waiting) == 1, "a sync that sets the length first"
    whole.write_bytes(content)
    assert len(taken_in(store).taken) == 1
    (store / "inbox/.x.zip").write_bytes(content)
    (store / "inbox/x.zip.part").write_bytes(content)
    assert taken_in(store) == InboxReport()


def test_a_file_that_changes_during_the_pause_is_not_taken(store: Path):
    file = send_visit(store, "x.zip", "2026-11-03", "at: 65,100 mi\n")
    pauses: list[float] = []

    def grow(seconds: float) -> None:
        pauses.append(seconds)
        file.write_bytes(file.read_bytes() + b"more")

    assert len(taken_in(store, still_for=60, pause=grow).waiting) == 1
    assert pauses == [60]
    file.unlink()
    send_visit(store, "y.zip", "2026-11-03", "at: 65,100 mi\n")
    assert len(taken_in(store, still_for=60, pause=pauses.append).taken) == 1


@pytest.mark.parametrize(
    ("values", "change"),
    [
        ("price: 12,900\n", "price"),
        ("status: sold\nsold_on: 2026-11-03\n", "status"),
        ("history: [{on: 2026-11-03, what: A correction.}]\n", "corrections"),
        ("withdraw: [tires.left_front.tread]\n", "corrections"),
        ("before_delivery: [{what: New pads., renews: [brakes.left_front]}]\n", "promises"),
    ],
)
def test_price_status_promises_and_corrections_need_a_permission(store: Path, values: str, change: str):
    file = send_visit(store, "x.zip", "2026-11-03", f"at: 65,100 mi\n{values}")
    before = record_of(store)
    report = taken_in(store, InboxSettings())
    (refused,) = report.refused
    assert f"list {change} under inbox, may_change" in refused.words[0]
    assert not file.exists()
    assert (store / "inbox/refused/x.zip").is_file()
    assert record_of(store) == before, "whole or not at all: the odometer did not come in either"
    shutil.move(store / "inbox/refused/x.zip", file)
    assert taken_in(store, InboxSettings()) == InboxReport(), "it is reported once"
    shutil.move(store / "inbox/refused/x.zip", file)
    allowed = InboxSettings(may_change=(Change.MEASURES, Change(change)))
    assert [entry.changes for entry in taken_in(store, allowed).taken] == [("measures", change)] or values


def test_a_mistake_is_told_in_words_without_places_in_files(store: Path):
    send_visit(store, "x.zip", "2026-11-03", "tires: {left_front: {tread: {inner: 7/23 in}}}\n")
    (refused,) = taken_in(store).refused
    assert refused.words[0].startswith("tires.left_front.tread.inner: found 7/23 in, expected thirty-seconds")
    assert (refused.stock, refused.by, refused.on) == ("K900", "our salesperson", "2026-11-03")


class KilledError(Exception):
    """Stands for the end of the process at one of its steps."""


@pytest.mark.parametrize("step", ["append_entry", "_move"])
@pytest.mark.parametrize("kind", ["visit", "vehicle", "whole inspection"])
def test_a_run_killed_between_its_steps_loses_and_doubles_nothing(
    store: Path, monkeypatch: pytest.MonkeyPatch, step: str, kind: str
):
    stock = "K901" if kind == "vehicle" else "K900"
    if kind == "visit":
        send_visit(store, "x.zip", "2026-11-03", "at: 65,100 mi\n")
    elif kind == "vehicle":
        send_vehicle(store, "x.zip", stock=stock, vin="00ZWA5H4XJD000102", status="preparing", price=...)
    else:
        chip = {"id": "hood-chip", "kind": "stone chips", "where": "front, hood", "affects": "looks", "words": "A."}
        send_vehicle(store, "x.zip", inspection={"done_on": "2026-11-02"}, defects=[chip])

    def killed(*_: object) -> None:
        raise KilledError

    with monkeypatch.context() as patched:
        patched.setattr(taking_in, step, killed)
        with pytest.raises(KilledError):
            taken_in(store)
    after_kill = record_of(store, stock)
    taken_in(store)
    assert record_of(store, stock) == after_kill
    assert len(visits_of(store, stock)) == (0 if kind == "vehicle" else 1)
    assert [entry.file for entry in read_journal(store / "inbox")] == ["x.zip"]
    assert [path.name for path in (store / "inbox/taken").iterdir()] == ["x.zip"]


def test_the_same_file_sent_again_is_not_taken_twice(store: Path):
    file = send_visit(store, "x.zip", "2026-11-03", "at: 65,100 mi\n")
    content = file.read_bytes()
    taken_in(store)
    for name in ("x.zip", "x (1).zip"):
        (store / "inbox" / name).write_bytes(content)
    assert taken_in(store) == InboxReport()
    assert len(visits_of(store)) == 1
    assert not list((store / "inbox").glob("*.zip"))


def test_a_journal_with_a_half_written_line_is_read_and_continued(store: Path):
    send_visit(store, "x.zip", "2026-11-03", "at: 65,100 mi\n")
    journal = store / "inbox/report.jsonl"
    journal.write_text('{"file": "half', "utf-8")
    taken_in(store)
    assert [entry.file for entry in read_journal(store / "inbox")] == ["x.zip"]


def test_build_and_intake_take_in_the_inbox(
    store: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795600000")  # 2026-11-25
    monkeypatch.setattr("sitegen.intake.inbox.arrived_files.STILL_FOR", 0)
    old = send_visit(store, "x.zip", "2026-11-03", "price: 9,999\n")
    os.utime(old, (0, 0))
    assert run(["intake", str(store)]) == 1
    assert "refused from the inbox: x.zip: It changes price" in capsys.readouterr().err
    assert run(["intake", str(store)]) == 0
    assert "The inbox holds no new file" in capsys.readouterr().out
    send_visit(store, "y.zip", "2026-11-03", "at: 65,100 mi\n")
    assert run(["build", str(store)]) == 0
    assert "Taken in from the inbox: y.zip (K900, visit 2026-11-03: measures)" in capsys.readouterr().out
    assert "65,100" in (store / "published/vehicles/K900/index.html").read_text("utf-8")


def test_every_key_of_a_record_and_a_visit_needs_a_permission_or_names_the_vehicle():
    """A new key that is in no kind of change would come in unasked."""
    naming = {"stock", "vin", "inspection", "on", "by"}
    assert {*VehicleRecord.model_fields, *VISIT.model_fields} - CHANGE_OF_KEY.keys() == naming


def test_with_settings_that_cannot_be_read_the_inbox_is_said_to_be_unseen(
    store: Path, capsys: pytest.CaptureFixture[str]
):
    send_visit(store, "a.zip", "2026-11-20", "notes: Washed.")
    (store / "site.yaml").write_text("name: [", "utf-8")
    assert run(["intake", str(store)]) == 1
    assert "the inbox was not looked at" in capsys.readouterr().err
    assert (store / "inbox" / "a.zip").is_file()
