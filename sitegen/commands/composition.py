"""The way that all commands go: read, judge, make the pictures, compose; up to a site that is not yet anywhere."""

from __future__ import annotations

import signal
from collections.abc import Collection, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from multiprocessing import get_context
from pathlib import Path

from sitegen.commands.holding import held_back
from sitegen.commands.moment import day_at_store, latest_day_anywhere, moment_of_build
from sitegen.commands.terminal import Terminal, exit_code
from sitegen.condition.findings import Condition
from sitegen.condition.judging import judge
from sitegen.pages.composing import compose_site, voice_in
from sitegen.pages.site import Site
from sitegen.photos.making import make_pictures
from sitegen.reading.catalogues import read_catalogues
from sitegen.reading.figures import read_figures
from sitegen.reading.store import read_store
from sitegen.records.figures import Figures
from sitegen.records.problems import Problem
from sitegen.records.store import Store, miles_a_year
from sitegen.records.vehicle import Status
from sitegen.shared_data import content_folder


@dataclass(frozen=True)
class Composed:
    """A composed site, or None where an error stands in its way; all problems; how many vehicles it shows."""

    site: Site | None
    problems: tuple[Problem, ...]
    vehicles: int = 0


def compose(folder: Path, jobs: int | None, terminal: Terminal, earlier: Collection[str] = ()) -> Composed:
    """Turn a store's folder into a site. A vehicle that the gate holds back is left out, and told as an error.

    `earlier` are the pages of earlier builds, at whose addresses something must still answer.
    """
    moment = moment_of_build()
    store, problems = read_store(folder, latest_day_anywhere(moment))
    if store is None or exit_code(problems):
        return Composed(None, tuple(problems))
    today = day_at_store(moment, store.settings.time_zone)
    figures = read_figures(content_folder(), store.settings.region)
    conditions = _judge_all(store, figures, today)
    held = held_back(store, conditions, voice_in("en", store.settings, figures))
    with terminal.progress("Photos") as advance, _workers(jobs) as workers:
        pictures, unusable = make_pictures(store, folder / ".cache", advance, workers)
    told = (*problems, *held, *unusable)
    if exit_code(unusable):
        return Composed(None, told)
    shown = {stock: condition for stock, condition in conditions.items() if condition.gate.may_publish}
    catalogues = read_catalogues(content_folder())
    site = compose_site(store, shown, pictures, catalogues, figures, today, earlier)
    return Composed(site, told, len(shown))


def _judge_all(store: Store, figures: Figures, today: date) -> dict[str, Condition]:
    """Return the condition of every vehicle that is not still being prepared, by stock."""
    a_year = miles_a_year(store.settings, figures.region.average_a_year.value)
    records = (vehicle.record for vehicle in store.vehicles)
    return {
        record.stock: judge(record, figures, store.prices, a_year, today)
        for record in records
        if record.status is not Status.PREPARING
    }


@contextmanager
def _workers(jobs: int | None) -> Iterator[Executor | None]:
    """Give the executor for a wished number of workers; None leaves the choice to whoever uses it."""
    if jobs is None:
        yield None
        return
    with ProcessPoolExecutor(
        jobs, mp_context=get_context("spawn"), initializer=_leave_ctrl_c_to_the_parent
    ) as executor:
        yield executor


def _leave_ctrl_c_to_the_parent() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
