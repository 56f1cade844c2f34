"""Tasks on the workers of a real Dask scheduler, and what the command says where such workers are of no use.

Each message comes within 15 seconds, with the loading of the packages of the cluster.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from sitegen.engine.cluster import cluster_workers
from sitegen.engine.engine import Engine
from sitegen.engine.errors import ClusterError
from sitegen.engine.mapping import Executors, map_task
from tests.builders import write_store
from tests.conftest import REPOSITORY, run_sitegen_apart
from tests.dask_cluster import cluster as cluster  # fixtures
from tests.dask_cluster import kept_cluster as kept_cluster
from tests.dask_cluster import started_cluster
from tests.engine.graph import faulty, needs_file, picture, shared_page
from tests.engine.test_engine import TODAY, computed
from tests.engine.test_engine import folder as folder  # a fixture

SECONDS = 15.0


def test_a_cluster_gives_the_same_results_and_traces_as_this_process(folder: Path, cluster):
    """The tasks read files, settings, results and kept files, none of which the workers have."""
    keys = ["a", "b", "missing"]
    address, _ = cluster
    failed: list[str] = []
    with Engine.opened(folder, TODAY, pytest.fail) as engine, cluster_workers(address) as workers:
        executors = Executors(far=workers, worth_workers=0.0)
        assert map_task(engine, shared_page, keys, executors, lambda key, _: failed.append(key)) == ["a", "b"]
        assert failed == ["missing"]
        assert [engine.result(shared_page, key) for key in ("a", "b")] == [b"abcabcabcFerrow", b"bcdbcdbcdFerrow"]
        kept = engine.result(picture, "a").decode()
        assert engine.kept_file(picture, "a", kept) == b"abcabc"
    far = Engine.opened(folder, TODAY, pytest.fail)
    near = Engine.opened(folder, TODAY, pytest.fail, folder / "near")
    with far, near:
        for key in ("a", "b"):
            near.result(shared_page, key)
            found, expected = (each.store.find(shared_page.name, key) for each in (far, near))
            assert found is not None
            assert expected is not None
            assert (found.trace, found.digest) == (expected.trace, expected.digest)
    assert computed(folder, shared_page) == (b"abcabcabcFerrow", [])
    (folder / "files/a").write_text("x")
    assert computed(folder, shared_page) == (b"xxxFerrow", ["picture", "shared_page"])


def test_a_task_that_raises_on_a_worker_is_met_again_here_and_leaves_the_others(folder: Path, cluster):
    failed: dict[str, Exception] = {}
    with Engine.opened(folder, TODAY, pytest.fail) as engine, cluster_workers(cluster[0]) as workers:
        executors = Executors(far=workers, worth_workers=0.0)
        assert map_task(engine, faulty, ["a", "b", "c"], executors, failed.__setitem__) == ["a", "c"]
    assert [(key, str(fault)) for key, fault in failed.items()] == [("b", "b is wrong")]


def test_workers_that_are_all_lost_while_they_work_end_it_with_a_message(folder: Path, cluster):
    address, processes = cluster
    began = time.monotonic()

    def kill_all(*_: object) -> None:
        for process in processes:
            process.send_signal(signal.SIGKILL)

    for name in map(str, range(50)):
        (folder / "files" / name).write_text(name)
    with (
        Engine.opened(folder, TODAY, pytest.fail) as engine,
        cluster_workers(address) as workers,
        pytest.raises(ClusterError, match="has no worker any more"),
    ):
        map_task(engine, picture, list(map(str, range(50))), Executors(far=workers), progress=kill_all)
    assert time.monotonic() - began < SECONDS + 10


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_store(tmp_path_factory.mktemp("store") / "store")


def refused(store: Path, address: str) -> str:
    """Return what a build says that cannot use a scheduler. Nothing is published."""
    began = time.monotonic()
    subprocess.run([sys.executable, "-c", "import distributed"], check=True)
    loading = time.monotonic() - began
    done = run_sitegen_apart("build", store, "--scheduler", address, timeout=60)
    assert time.monotonic() - began - loading < SECONDS + loading
    assert done.returncode == 2, done.stderr
    assert not (store / "published").exists()
    assert done.stderr.count("\n") == 1, done.stderr
    return done.stderr


def test_a_scheduler_that_is_not_there(store: Path):
    """Port 9 on loopback (discard, RFC 863) answers nobody here."""
    assert "no scheduler answers at tcp://127.0.0.1:9; " in refused(store, "tcp://127.0.0.1:9")


def test_a_scheduler_that_accepts_and_says_nothing(store: Path):
    with socket.create_server(("127.0.0.1", 0)) as silent:
        address = f"tcp://127.0.0.1:{silent.getsockname()[1]}"
        assert f"no scheduler answers at {address}; " in refused(store, address)


def test_a_scheduler_without_workers(store: Path, tmp_path: Path):
    with started_cluster(tmp_path) as started:
        assert f"the scheduler at {started.address} has no workers; " in refused(store, started.address)


def test_a_worker_that_does_not_answer(store: Path, tmp_path: Path):
    """Stopped as by the system (SIGSTOP): it is still connected."""
    with started_cluster(tmp_path, workers=1) as started:
        started.workers[0].send_signal(signal.SIGSTOP)
        said = refused(store, started.address)
        started.workers[0].send_signal(signal.SIGCONT)
    assert re.search(r"the worker at tcp://\S+ does not answer; ", said)


def change(program: Path) -> None:
    file = program / "sitegen/condition/gate.py"
    file.write_text(file.read_text("utf-8") + "\n# Another version.\n", "utf-8")


DIFFERENCES: dict[str, tuple[Callable[[Path], object], str]] = {
    "another version": (change, "has another sitegen/condition/gate.py"),
    "no file of words": (lambda program: (program / "content/en/bay.po").unlink(), "lacks content/en/bay.po"),
    "no file of the theme": (
        lambda program: (program / "themes/daylight/body_words.txt").write_text("one"),
        "has themes/daylight/body_words.txt, which this machine lacks",
    ),
}


@pytest.mark.parametrize("name", DIFFERENCES)
def test_a_worker_whose_program_is_another(store: Path, tmp_path: Path, name: str):
    program = tmp_path / "program"
    for part in ("sitegen", "content", "themes"):
        shutil.copytree(REPOSITORY / part, program / part, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(REPOSITORY / "pyproject.toml", program)
    DIFFERENCES[name][0](program)
    with started_cluster(tmp_path, workers=1) as started:
        started.start_worker(program)
        said = refused(store, started.address)
    assert re.search(rf"the worker at tcp://\S+ {re.escape(DIFFERENCES[name][1])}; install the same", said), said


def test_a_worker_that_reads_another_file_of_this_machine_is_found_by_its_trace(folder: Path, tmp_path: Path):
    """An input outside the store, such as the program's own words, is read where the task runs."""
    here, there = tmp_path / "here", tmp_path / "there"
    for place, words in ((here, "one"), (there, "two")):
        place.mkdir()
        (place / "words").write_text(words)
    with started_cluster(tmp_path) as started, pytest.MonkeyPatch.context() as environment:
        environment.setenv("WORDS_OF_TEST", str(there))
        started.start_worker()
        environment.setenv("WORDS_OF_TEST", str(here))
        with (
            Engine.opened(folder, TODAY, pytest.fail) as engine,
            cluster_workers(started.address) as workers,
            pytest.raises(ClusterError, match="other files than this machine, or lacks some: test_outside"),
        ):
            map_task(engine, needs_file, ["a"], Executors(far=workers, worth_workers=0.0))


def test_the_packages_that_this_program_does_not_require_do_not_matter(tmp_path: Path):
    """A worker with one package more in its environment has the same program."""
    more = tmp_path / "more"
    (more / "some_tool-1.0.dist-info").mkdir(parents=True)
    program = "from sitegen.engine.program_identity import digest_of_program; print(digest_of_program())"
    assert run_python(program, f"{REPOSITORY}{os.pathsep}{more}") == run_python(program, str(REPOSITORY))


def run_python(program: str, path: str) -> str:
    return subprocess.run(
        [sys.executable, "-c", program], env={"PYTHONPATH": path}, capture_output=True, text=True, check=True
    ).stdout
