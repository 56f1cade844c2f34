"""Pictures and pages made by a real Dask scheduler and two workers: as here, even if one dies."""

from __future__ import annotations

import io
import re
import signal
import subprocess
from collections.abc import Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from sitegen.commands.shared.composition import BuildRequest, BuildResult, compose
from sitegen.commands.shared.terminal import Terminal
from sitegen.engine.cluster import cluster_workers
from sitegen.engine.errors import ClusterError
from sitegen.engine.mapping import Executors, Progress
from sitegen.film.films import make_films
from sitegen.photos.making import make_pictures
from sitegen.photos.planning.pictures import Pictures
from sitegen.reading.store import read_store
from sitegen.records.problems import Problem
from tests.builders import A_SECOND_VEHICLE, write_store
from tests.dask_cluster import cluster as cluster  # fixtures
from tests.dask_cluster import kept_cluster as kept_cluster
from tests.film.films import Film, make_film
from tests.photos.lots import engine_of, grain, naming, photos_folder, store_of

FILES = tuple(f"{number}.jpg" for number in range(6))


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """A store of one vehicle with six photos."""
    for number, file in enumerate(FILES):
        grain((420 + number, 320)).save(photos_folder(tmp_path) / file)
    return tmp_path


def test_the_same_bytes_as_on_this_machine(lot, cluster):
    address, _ = cluster
    with cluster_workers(address) as workers:
        pictures, problems = made_far(lot, workers)
    assert problems == ()
    assert contents(pictures) == contents(made_here(lot))


def test_a_worker_killed_midway_loses_nothing(lot, cluster):
    """Killed as by the system (SIGKILL) when the first photo is done; the other worker does the rest."""
    address, processes = cluster

    def kill_one(*_: object) -> None:
        processes[0].send_signal(signal.SIGKILL)

    with cluster_workers(address) as workers:
        pictures, problems = made_far(lot, workers, kill_one)
    assert problems == ()
    assert processes[0].wait() == -signal.SIGKILL
    assert contents(pictures) == contents(made_here(lot))


@pytest.fixture(scope="module")
def offered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store of three vehicles in two languages and places; one is sold and leads to the others."""
    sold = {"stock": "K902", "vin": "00ZWA5H41JD000103", "status": "sold", "sold_on": "2026-10-20"}
    place = {"name": "Ferrow Lane East", "address": ["2 Ferrow Lane"], "phone": "+1 202 555 0143"}
    store = write_store(
        tmp_path_factory.mktemp("offered") / "store",
        ({"location": place["name"]}, A_SECOND_VEHICLE, sold),
        {"languages": ["en", "es"], "locations": [place]},
    )
    own = store / "theme/pages/not-found.html"
    own.parent.mkdir(parents=True)
    own.write_text("{# The store's own. #}Nothing here", "utf-8")
    return store


def composed(store: Path, **options: Any) -> BuildResult:
    """Compose a store without any stored result but its pictures."""
    (store / ".cache/results.sqlite").unlink(missing_ok=True)
    return compose(BuildRequest(store, **options), Terminal(io.StringIO(), io.StringIO()))


@pytest.fixture(scope="module")
def pages_made_here(offered: Path) -> dict[str, bytes]:
    """The pages of the store, made in this process."""
    done = composed(offered)
    assert done.site is not None, done.problems
    return dict(done.site.pages)


@pytest.fixture
def workers_do_everything(monkeypatch: pytest.MonkeyPatch) -> None:
    """Start workers however little there is to do."""
    few = partial(Executors, worth_workers=0.0)
    monkeypatch.setattr("sitegen.commands.shared.composition.Executors", few)


class NotingWorkers(Executor):
    """Passes everything to real workers, and notes what was asked and done; the first result may kill a worker."""

    def __init__(self, workers: Executor, to_be_killed: subprocess.Popen[str] | None = None) -> None:
        self.workers, self.to_be_killed = workers, to_be_killed
        self.asked: list[str] = []
        self.done_before_the_kill = 0
        self._done = 0

    def submit(self, function: Any, /, *arguments: Any, **named: Any) -> Future[Any]:
        """Pass on."""
        self.asked += [str(argument) for argument in arguments if ":" in str(argument)[:60]]
        future = self.workers.submit(function, *arguments, **named)
        future.add_done_callback(self._note)
        return future

    def _note(self, _: Future[Any]) -> None:
        self._done += 1
        if self.to_be_killed is not None and self.to_be_killed.returncode is None:
            self.to_be_killed.send_signal(signal.SIGKILL)
            self.to_be_killed.wait()
            self.done_before_the_kill = self._done


@pytest.mark.usefixtures("workers_do_everything")
def test_pages_are_the_same_bytes_from_one_process_and_from_two(offered, pages_made_here):
    done = composed(offered, jobs=2)
    assert done.site is not None, done.problems
    assert "es/vehicles/K902/index.html" in pages_made_here
    assert dict(done.site.pages) == pages_made_here


@pytest.mark.usefixtures("workers_do_everything")
@pytest.mark.parametrize("is_one_killed", [False, True])
def test_a_cluster_makes_the_same_pages_even_if_a_worker_dies(
    offered, pages_made_here, cluster, monkeypatch, is_one_killed
):
    """Killed as by the system (SIGKILL) when the first answer is there; the other worker does the rest."""
    address, processes = cluster
    notes: list[NotingWorkers] = []

    @contextmanager
    def noting(_: BuildRequest) -> Iterator[NotingWorkers]:
        with cluster_workers(address) as workers:
            notes.append(NotingWorkers(workers, processes[0] if is_one_killed else None))
            yield notes[0]

    monkeypatch.setattr("sitegen.commands.shared.composition._far_workers", noting)
    done = composed(offered)
    assert done.site is not None, done.problems
    assert dict(done.site.pages) == pages_made_here
    assert any(name.endswith(":vehicle_pages") for name in notes[0].asked)
    assert (processes[0].poll() == -signal.SIGKILL) == is_one_killed


@pytest.mark.usefixtures("workers_do_everything")
def test_a_template_error_in_a_worker_is_reported_at_its_line(offered):
    """The store's own window sheet takes a part of the view that there is not."""
    sheet = offered / "theme/pages/window-sheet.html"
    sheet.write_text("One line\n{{ page.nothing_of_the_kind.at_all }}\n", "utf-8")
    try:
        done = composed(offered, jobs=1)
    finally:
        sheet.unlink()
    assert done.site is None
    of_theme = [problem for problem in done.problems if problem.file.startswith("theme/")]
    assert [(problem.file, problem.line) for problem in of_theme] == [("theme/pages/window-sheet.html", 2)]


def test_films_are_coded_by_the_workers_of_a_cluster(tmp_path, cluster):
    """The clips have the same bytes as here; each is one call to a worker."""
    address, _ = cluster
    clips = [{"file": "a.mov", "station": "front"}, {"file": "b.mov", "defect": "fog-light-lens"}]
    store = write_store(tmp_path / "store", ({"film": {"clips": clips}},))
    films = store / "vehicles" / "K900" / "film"
    films.mkdir()
    make_film(Film("a.mov", "hevc", (320, 180), rotation=90, seconds=1), films)
    make_film(Film("b.mov", size=(320, 180), seconds=1), films)
    read, problems = read_store(store, date(2026, 11, 21))
    assert read is not None, problems
    seconds: list[int] = []
    with cluster_workers(address) as workers, engine_of(store, tmp_path / "far") as engine:
        told = partial(_note_seconds, seconds)
        noting = NotingWorkers(workers)
        far, _ = make_films(read, engine, told, Executors(far=noting))
        assert engine.store.file(far.vehicles[0].film.clips[1].file.digest) is not None
    with engine_of(store, tmp_path / "near") as engine:
        near, _ = make_films(read, engine)
    assert far.vehicles[0].film == near.vehicles[0].film
    assert sum(name.endswith(":coded_clip") for name in noting.asked) == 2
    assert seconds == [1, 2]


def _note_seconds(seconds: list[int], done: int, _whole: int, _path: str) -> None:
    seconds.append(done)


def test_an_unreachable_scheduler_is_reported_with_its_address():
    """Port 9 on loopback (discard, RFC 863) answers nobody here."""
    address = "tcp://127.0.0.1:9"
    with (
        pytest.raises(ClusterError, match=re.escape(f"no scheduler answers at {address}; ")),
        cluster_workers(address),
    ):
        pass


def made_far(
    lot: Path, workers: Executor, progress: Progress = lambda *_: None
) -> tuple[Pictures, tuple[Problem, ...]]:
    """Make the pictures of the photos by workers of a cluster alone."""
    with engine_of(lot, lot / "far") as engine:
        return make_pictures(store_of(lot, naming(*FILES)), engine, progress, Executors(far=workers))


def made_here(lot: Path) -> Pictures:
    """Make the pictures of the same photos in this process, with a cache of their own."""
    with engine_of(lot, lot / "near") as engine:
        return make_pictures(store_of(lot, naming(*FILES)), engine)[0]


def contents(pictures: Pictures) -> dict[str, bytes]:
    """Return what the files of pictures hold, by name."""
    return {name: file.read_bytes() for name, file in pictures.files().items()}
