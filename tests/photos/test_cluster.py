"""Pictures made by a real Dask scheduler with two workers: the same bytes as here, even if a worker dies."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from sitegen.photos.cluster import NoClusterError, cluster_workers
from sitegen.photos.making import make_pictures
from sitegen.photos.planning.pictures import Pictures
from tests.conftest import REPOSITORY
from tests.photos.lots import CountingWorkers, grain, naming, photos_folder, store_of

FILES = tuple(f"{number}.jpg" for number in range(6))


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """A store of one vehicle with six photos."""
    for number, file in enumerate(FILES):
        grain((420 + number, 320)).save(photos_folder(tmp_path) / file)
    return tmp_path


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[tuple[str, list[subprocess.Popen[str]]]]:
    """A scheduler on loopback and two workers in folders of their own: its address, and the workers."""
    with ExitStack() as running:

        def start(module: str, *arguments: str, told: str) -> tuple[subprocess.Popen[str], str]:
            """Start a part of Dask, and return it with the line in which it says that it is ready."""
            command = [sys.executable, "-m", f"distributed.cli.{module}", *arguments]
            environment = {**os.environ, "PYTHONPATH": str(REPOSITORY), "DASK_DISTRIBUTED__DASHBOARD__LINK": ""}
            place = tmp_path / f"{module}-{len(started)}"
            place.mkdir()
            process = running.enter_context(
                subprocess.Popen(command, cwd=place, env=environment, stderr=subprocess.PIPE, text=True)
            )
            running.callback(process.kill)
            started.append(process)
            assert process.stderr is not None
            return process, next(line for line in process.stderr if told in line)

        started: list[subprocess.Popen[str]] = []
        quiet = ("--no-dashboard",)
        _, line = start("dask_scheduler", "--host", "tcp://127.0.0.1:0", *quiet, told="Scheduler at:")
        address = line.split()[-1]
        options = ("--no-nanny", "--nthreads", "1", *quiet)
        workers = [start("dask_worker", address, *options, told="Registered to:")[0] for _ in range(2)]
        yield address, workers


def test_the_same_bytes_as_on_this_machine(lot, cluster):
    address, _ = cluster
    with cluster_workers(address) as workers:
        pictures, problems = make_pictures(store_of(lot, naming(*FILES)), lot / "far", lambda *_: None, workers)
    assert problems == ()
    assert contents(pictures) == contents(made_here(lot))


def test_a_worker_killed_midway_loses_nothing(lot, cluster):
    """Killed as by the system (SIGKILL) when the first photo is done; the other worker does the rest."""
    address, processes = cluster

    def kill_one(*_: object) -> None:
        processes[0].send_signal(signal.SIGKILL)

    with cluster_workers(address) as workers:
        pictures, problems = make_pictures(store_of(lot, naming(*FILES)), lot / "far", kill_one, workers)
    assert problems == ()
    assert processes[0].wait() == -signal.SIGKILL
    assert contents(pictures) == contents(made_here(lot))


def test_a_scheduler_that_is_not_there_is_told_by_its_address():
    """Port 9 on loopback (discard, RFC 863) answers nobody here."""
    address = "tcp://127.0.0.1:9"
    with (
        pytest.raises(NoClusterError, match=re.escape(f"no scheduler answers at {address}; ")),
        cluster_workers(address),
    ):
        pass


def made_here(lot: Path) -> Pictures:
    """Make the pictures of the same photos on threads of this process, with a cache of their own."""
    with CountingWorkers() as workers:
        return make_pictures(store_of(lot, naming(*FILES)), lot / "near", lambda *_: None, workers)[0]


def contents(pictures: Pictures) -> dict[str, bytes]:
    """Return what the files of pictures hold, by name."""
    return {name: file.read_bytes() for name, file in pictures.files().items()}
