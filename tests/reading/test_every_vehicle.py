"""Reading with any number of workers gives the same records and problems in the same order."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitegen.engine.engine import Engine
from sitegen.engine.mapping import Executors
from sitegen.engine.workers import LocalWorkers
from sitegen.reading.every_vehicle import read_vehicles, standards_of
from sitegen.reading.store import read_store
from sitegen.records.store import Region
from tests.builders import some_settings, write_store
from tests.inventories import varied_vehicles
from tests.reading.texts import TODAY

COUNT = 51
FAULTY, UNREADABLE, SAME_VIN = 3, 5, 7


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, ...]:
    """The folders of vehicles, more than two workers take at once: one cannot be read, in one a value is wrong."""
    store = write_store(tmp_path_factory.mktemp("many") / "store", varied_vehicles(COUNT), photo_size=(32, 24))
    found = tuple(sorted((store / "vehicles").iterdir()))
    records = [folder / "inspection.yaml" for folder in found]
    faulty = records[FAULTY].read_text("utf-8")
    records[FAULTY].write_text(faulty.replace("price: ", "price: about ", 1), "utf-8")
    records[UNREADABLE].write_text("stock: [", "utf-8")
    vins = [record.read_text("utf-8").split("vin: ")[1].split()[0] for record in records[SAME_VIN : SAME_VIN + 2]]
    same = records[SAME_VIN].read_text("utf-8")
    records[SAME_VIN].write_text(same.replace(vins[0], vins[1]), "utf-8")
    return found


def test_workers_read_the_same_records_and_problems_in_the_same_order(folders: tuple[Path, ...], tmp_path: Path):
    standards, settings = standards_of(Region.UNITED_STATES, TODAY), some_settings()
    here = list(read_vehicles(folders, settings, standards))
    store = folders[0].parents[1]
    with LocalWorkers(2) as workers, Engine.opened(store, TODAY, pytest.fail, tmp_path) as engine:
        by_two = list(read_vehicles(folders, settings, standards, engine, Executors(workers, worth_workers=0.0)))
        assert len(engine.ran) == COUNT
    assert [found.folder for found in by_two] == list(folders)
    assert here[FAULTY].problems
    assert here[UNREADABLE].record is None
    for found, other in zip(by_two, here, strict=True):
        assert (found.record, found.problems) == (other.record, other.problems)
        assert (found.sheet is None) == (other.sheet is None)
        if found.sheet and other.sheet:
            assert found.sheet.record == other.sheet.record
            assert found.sheet.photos == other.sheet.photos
            assert found.sheet.standards is standards


def test_a_problem_between_two_vehicles_is_told_where_it_stands(folders: tuple[Path, ...]):
    """Places are not kept, so the line of a VIN that two vehicles share is read again."""
    _, problems = read_store(folders[0].parents[1], TODAY)
    told = [problem for problem in problems if problem.where == "vin" and "also in" in problem.found]
    assert [problem.file for problem in told] == [
        f"vehicles/{folders[place].name}/inspection.yaml" for place in (SAME_VIN, SAME_VIN + 1)
    ]
    for problem in told:
        lines = (folders[0].parents[1] / problem.file).read_text("utf-8").splitlines()
        assert lines[problem.line - 1].startswith("vin: ")
        assert problem.column == len("vin: ") + 1
