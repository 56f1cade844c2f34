"""Pictures and pages made, vehicles judged, by a real Dask scheduler and two workers: as here, even if one dies."""

from __future__ import annotations

import io
import re
import signal
import subprocess
import traceback
from concurrent.futures import Executor, Future
from pathlib import Path
from typing import Any

import pytest
from jinja2 import UndefinedError

from sitegen.commands.shared.composition import Composed, Wish, compose
from sitegen.commands.shared.judged import AT_ONCE, JUDGED_HERE, conditions_of
from sitegen.commands.shared.terminal import Terminal
from sitegen.condition.basis.findings import Condition
from sitegen.engine.cluster import cluster_workers
from sitegen.engine.errors import ClusterError
from sitegen.engine.mapping import Executors, Progress
from sitegen.engine.workers import LocalWorkers
from sitegen.pages.composing import compose_site, speaker
from sitegen.pages.site import Site
from sitegen.pages.vehicles_made import Means
from sitegen.photos.making import make_pictures
from sitegen.photos.planning.pictures import Pictures
from sitegen.reading.reference.figures import read_figures
from sitegen.records.problems import Problem
from sitegen.records.store import Store
from sitegen.shared_data import content_folder
from tests.builders import A_SECOND_VEHICLE, write_store
from tests.dask_cluster import cluster as cluster  # a fixture
from tests.inventories import varied_vehicles
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
def offered(tmp_path_factory: pytest.TempPathFactory) -> Composed:
    """A store of three vehicles in two languages and places, composed here; one is sold and leads to the others."""
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
    done = compose(Wish(store), Terminal(io.StringIO(), io.StringIO()))
    assert done.site is not None, done.problems
    return done


def made_with(means: Means, offered: Composed) -> Site:
    assert offered.store is not None
    assert offered.material is not None
    speak = speaker(offered.store.settings, offered.material.figures)
    return compose_site(offered.store, offered.material, offered.today, speak, means=means)


def test_pages_are_the_same_bytes_from_one_process_from_two_and_from_a_cluster(offered, cluster):
    address, _ = cluster
    here = made_with(Means(), offered)
    with LocalWorkers(2) as workers:
        by_two = made_with(Means(workers=workers, made_here=0), offered)
    with cluster_workers(address) as workers:
        far = made_with(Means(workers=workers, made_here=0), offered)
    assert "es/vehicles/K902/index.html" in here.pages
    for site in (by_two, far):
        assert site.pages == here.pages
        assert site.made_from == here.made_from
        assert {drawing.file for drawing in site.drawings} == {drawing.file for drawing in here.drawings}


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> Store:
    """A store of more vehicles, by a batch, than are judged here where there are workers."""
    return store_of(tmp_path_factory.mktemp("many"), *varied_vehicles(JUDGED_HERE + AT_ONCE))


class NotingWorkers(Executor):
    """Hands everything on to real workers, and notes what was asked and done; the first that is done may kill one."""

    def __init__(self, workers: Executor, to_be_killed: subprocess.Popen[str] | None = None) -> None:
        self.workers, self.to_be_killed = workers, to_be_killed
        self.asked, self.done, self.done_before_the_kill = 0, 0, 0

    def submit(self, *args: Any, **kwargs: Any) -> Future[Any]:
        """Hand on."""
        self.asked += 1
        future = self.workers.submit(*args, **kwargs)
        future.add_done_callback(self._note)
        return future

    def _note(self, _: Future[Any]) -> None:
        self.done += 1
        if self.to_be_killed is not None and self.to_be_killed.returncode is None:
            self.to_be_killed.send_signal(signal.SIGKILL)
            self.to_be_killed.wait()
            self.done_before_the_kill = self.done


def judged(store: Store, workers: Executor | None) -> dict[str, Condition]:
    """Return the condition of each vehicle: judged by workers, or here without any."""
    conditions = conditions_of(store, read_figures(content_folder(), store.settings.region))
    conditions.judge(conditions.keys(), workers)
    return dict(conditions)


@pytest.fixture(scope="module")
def judged_here(many: Store) -> dict[str, Condition]:
    """What is judged of them in this process."""
    return judged(many, None)


def test_a_cluster_judges_the_same(many, judged_here, cluster):
    address, _ = cluster
    with cluster_workers(address) as workers:
        noting = NotingWorkers(workers)
        far = judged(many, noting)
    assert noting.done == JUDGED_HERE // AT_ONCE + 1
    assert far == judged_here


def test_a_worker_killed_while_it_judges_loses_no_vehicle(many, judged_here, cluster):
    """Killed as by the system (SIGKILL) when the first batch is judged; the other worker judges the rest."""
    address, processes = cluster
    with cluster_workers(address) as workers:
        noting = NotingWorkers(workers, processes[0])
        far = judged(many, noting)
    assert processes[0].returncode == -signal.SIGKILL
    assert noting.done_before_the_kill < noting.asked == noting.done
    assert far == judged_here


def test_a_worker_killed_while_it_makes_pages_loses_none(offered, cluster, monkeypatch):
    """Killed as by the system (SIGKILL) when the first vehicle's pages are made; the other worker makes the rest."""
    monkeypatch.setattr("sitegen.pages.vehicles_made.AT_ONCE", 1)
    address, processes = cluster
    with cluster_workers(address) as workers:
        noting = NotingWorkers(workers, processes[0])
        far = made_with(Means(workers=noting, made_here=0), offered)
    assert processes[0].returncode == -signal.SIGKILL
    assert noting.done_before_the_kill < noting.asked == noting.done
    assert far.pages == made_with(Means(), offered).pages


def test_a_template_error_in_a_worker_is_reported_at_its_line(offered):
    """The store's own window sheet takes a part of the view that there is not."""
    assert offered.store is not None
    sheet = offered.store.folder / "theme/pages/window-sheet.html"
    sheet.write_text("One line\n{{ page.nothing_of_the_kind.at_all }}\n", "utf-8")
    try:
        with LocalWorkers(1) as workers, pytest.raises(UndefinedError) as fault:
            made_with(Means(workers=workers, made_here=0), offered)
    finally:
        sheet.unlink()
    last = traceback.extract_tb(fault.value.__traceback__)
    assert any(frame.filename == str(sheet) and frame.lineno == 2 for frame in last)


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
