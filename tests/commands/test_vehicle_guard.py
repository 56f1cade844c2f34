"""An exception in the task of one vehicle is a problem of that vehicle, once every vehicle's task was run."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from sitegen.commands.tasks.guard import FaultyVehiclesError, map_vehicles
from sitegen.engine.engine import Engine
from sitegen.engine.mapping import HERE, Executors
from sitegen.engine.workers import LocalWorkers
from tests.engine.graph import faulty


@pytest.mark.parametrize("are_far", [False, True])
def test_a_task_that_raises_for_one_vehicle_is_a_problem_with_its_place(tmp_path: Path, are_far: bool):
    with Engine.opened(tmp_path, date(2026, 3, 1), pytest.fail) as engine, LocalWorkers(2) as workers:
        executors = Executors(workers, worth_workers=0.0) if are_far else HERE
        with pytest.raises(FaultyVehiclesError) as raised:
            map_vehicles(engine, faulty, ["a", "b", "c"], executors)
        assert [problem.file for problem in raised.value.problems] == ["vehicles/b/inspection.yaml"]
        assert "ValueError: b is wrong" in raised.value.problems[0].found
        assert not raised.value.are_all
        assert {key for _, key in engine.ran} == {"a", "c"}
        map_vehicles(engine, faulty, ["a", "c"], executors)


def test_where_every_vehicle_fails_none_is_to_be_left_out(tmp_path: Path):
    with Engine.opened(tmp_path, date(2026, 3, 1), pytest.fail) as engine:
        with pytest.raises(FaultyVehiclesError) as raised:
            map_vehicles(engine, faulty, ["b"], HERE)
        assert raised.value.are_all
