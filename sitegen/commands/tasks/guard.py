"""Guard the tasks of vehicles: an exception in the task of one vehicle does not end the command."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from sitegen.engine.engine import Engine
from sitegen.engine.errors import ClusterError
from sitegen.engine.mapping import Executors, map_task
from sitegen.engine.task import Task
from sitegen.records.problems import ProblemsError, unexpected_problem


class FaultyVehiclesError(ProblemsError):
    """The tasks of some vehicles raised exceptions, which `faults` holds by stock number."""

    def __init__(self, faults: Mapping[str, Exception], are_all: bool) -> None:
        """`are_all` is whether every vehicle failed, which is rarely the fault of their records."""
        files = {stock: f"vehicles/{stock}/inspection.yaml" for stock in faults}
        super().__init__(*(unexpected_problem(files[stock], fault) for stock, fault in faults.items()))
        self.faults, self.are_all = faults, are_all


def map_vehicles(engine: Engine, task: Task[Any], stocks: Collection[str], executors: Executors) -> None:
    """Bring a task up to date for all vehicles. Raises FaultyVehiclesError after it was run for every vehicle.

    An exception about the program's own data or the disk is not a vehicle's fault, and is raised unchanged.
    """
    faults: dict[str, Exception] = {}

    def fail(stock: str, fault: Exception) -> None:
        if isinstance(fault, OSError | ProblemsError | ClusterError):
            raise fault
        faults[stock] = fault

    map_task(engine, task, stocks, executors, fail)
    if faults:
        raise FaultyVehiclesError(faults, are_all=len(faults) == len(set(stocks)))
