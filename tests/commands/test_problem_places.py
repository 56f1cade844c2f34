"""Workers and the main process find the same lines and columns for problems."""

from __future__ import annotations

from pathlib import Path

from sitegen.commands.shared.problem_places import placed
from sitegen.engine.mapping import Executors
from sitegen.engine.workers import LocalWorkers
from sitegen.reading.store import read_store
from sitegen.records.problems import Problem, Severity
from tests.builders import write_store
from tests.inventories import varied_vehicles
from tests.photos.lots import engine_of
from tests.reading.texts import TODAY


def test_workers_find_the_same_places_as_the_main_process(tmp_path: Path):
    folder = write_store(tmp_path / "store", varied_vehicles(21), photo_size=(32, 24))
    store, _ = read_store(folder, TODAY)
    assert store is not None
    without_place = [
        Problem(vehicle.inspection_file, 0, 0, where, "it", "another", "mend it", Severity.WARNING)
        for vehicle in store.vehicles
        for where in ("price", "odometer.reading", "photos[9].shows")
    ]
    of_a_photo = Problem("vehicles/N00000/photos/front.jpg", 0, 0, "", "it", "another", "mend it")
    with engine_of(folder, tmp_path / "here") as engine:
        here = sorted(placed([of_a_photo, *without_place], store, engine))
    with engine_of(folder, tmp_path / "workers") as engine, LocalWorkers(2) as workers:
        executors = Executors(near=workers, worth_workers=0.0)
        assert sorted(placed([of_a_photo, *without_place], store, engine, executors)) == here
    assert len(here) == len(without_place) + 1
    assert of_a_photo in here
    for problem in here:
        if problem.where == "price":
            line = (folder / problem.file).read_text("utf-8").splitlines()[problem.line - 1]
            assert line[: problem.column - 1] == "price: "
