"""A real Dask scheduler and its workers, each a process of its own on loopback."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from tests.conftest import REPOSITORY

_QUIET = "--no-dashboard"


@dataclass
class Cluster:
    """A scheduler, and the processes of its workers."""

    place: Path
    running: ExitStack
    address: str = ""
    workers: list[subprocess.Popen[str]] = field(default_factory=list)

    def start_worker(self, program: Path = REPOSITORY) -> subprocess.Popen[str]:
        """Start a worker that runs the program in a folder, and wait until the scheduler knows it."""
        options = ("--no-nanny", "--nthreads", "1", _QUIET)
        worker, _ = self.start("dask_worker", self.address, *options, until="Registered to:", program=program)
        self.workers.append(worker)
        return worker

    def start(
        self, module: str, *arguments: str, until: str, program: Path = REPOSITORY
    ) -> tuple[subprocess.Popen[str], str]:
        """Start a part of Dask, and return it with the line in which it says that it is ready."""
        command = [sys.executable, "-m", f"distributed.cli.{module}", *arguments]
        environment = {**os.environ, "PYTHONPATH": str(program), "DASK_DISTRIBUTED__DASHBOARD__LINK": ""}
        place = self.place / f"{module}-{len([*self.place.iterdir()])}"
        place.mkdir()
        process = self.running.enter_context(
            subprocess.Popen(command, cwd=place, env=environment, stderr=subprocess.PIPE, text=True)
        )
        self.running.callback(process.kill)
        assert process.stderr is not None
        return process, next(line for line in process.stderr if until in line)


@contextmanager
def started_cluster(place: Path, workers: int = 0) -> Iterator[Cluster]:
    """Start a scheduler with some workers."""
    with ExitStack() as running:
        cluster = Cluster(place, running)
        _, line = cluster.start("dask_scheduler", "--host", "tcp://127.0.0.1:0", _QUIET, until="Scheduler at:")
        cluster.address = line.split()[-1]
        for _ in range(workers):
            cluster.start_worker()
        yield cluster


@pytest.fixture(scope="module")
def kept_cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Cluster]:
    """A scheduler that serves all tests of a module."""
    with started_cluster(tmp_path_factory.mktemp("cluster")) as started:
        yield started


@pytest.fixture
def cluster(kept_cluster: Cluster) -> tuple[str, list[subprocess.Popen[str]]]:
    """Return the scheduler's address. Two workers run in folders of their own; a killed one is replaced."""
    kept_cluster.workers = [worker for worker in kept_cluster.workers if worker.poll() is None]
    while len(kept_cluster.workers) < 2:
        kept_cluster.start_worker()
    return kept_cluster.address, kept_cluster.workers
