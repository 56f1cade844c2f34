"""The way that all commands go: read, judge, make the pictures, compose; up to a site that is not yet anywhere."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from sitegen.commands.moment import day_at_store, latest_day_anywhere, moment_of_build
from sitegen.commands.terminal import Terminal, exit_code
from sitegen.condition.findings import Condition
from sitegen.condition.judging import judge
from sitegen.pages.composing import compose_site
from sitegen.pages.site import Site
from sitegen.photos.making import make_pictures
from sitegen.reading.catalogues import read_catalogues
from sitegen.reading.figures import read_figures
from sitegen.reading.store import read_store
from sitegen.records.figures import Figures
from sitegen.records.problems import Problem
from sitegen.records.store import Store, miles_a_year
from sitegen.shared_data import content_folder


@dataclass(frozen=True)
class Composed:
    """A composed site, or None where an error stands in its way; all problems; how many vehicles."""

    site: Site | None
    problems: tuple[Problem, ...]
    vehicles: int


def compose(folder: Path, jobs: int | None, terminal: Terminal) -> Composed:
    """Turn a store's folder into a site."""
    moment = moment_of_build()
    store, problems = read_store(folder, latest_day_anywhere(moment))
    if store is None or exit_code(problems):
        return Composed(None, tuple(problems), 0)
    today = day_at_store(moment, store.settings.time_zone)
    figures = read_figures(content_folder(), store.settings.region)
    conditions = judge_all(store, figures, today)
    ...
