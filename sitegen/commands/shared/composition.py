"""The steps that most commands share: read, judge, make the pictures, compose. The result is a site in memory."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from concurrent.futures import Executor
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from sitegen.commands.shared.clock import moment_of_build
from sitegen.commands.shared.judged import conditions_of, gates_of
from sitegen.commands.shared.left_out import faulty_vehicles, is_of, still_listed, without
from sitegen.commands.shared.published_before import Before, addresses, stocks
from sitegen.commands.shared.store_day import today_of_store
from sitegen.commands.shared.terminal import Advance, Terminal, exit_code
from sitegen.commands.tasks.guard import FaultyVehiclesError, map_vehicles
from sitegen.commands.tasks.record import film_of, may_publish, pictures_of, record_json
from sitegen.condition.basis.findings import Condition
from sitegen.engine.engine import Engine
from sitegen.engine.mapping import Executors
from sitegen.engine.results import Results
from sitegen.engine.workers import LocalWorkers
from sitegen.ledger.ledger_files import read_ledger
from sitegen.ledger.lines import Line
from sitegen.pages.material import Material
from sitegen.photos.making import make_pictures, make_share_pictures
from sitegen.photos.planning.pictures import Pictures
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.store import read_store
from sitegen.reading.vehicle_task import SETTINGS
from sitegen.records.figures import Figures
from sitegen.records.problems import Problem, ProblemsError
from sitegen.records.store import Store
from sitegen.records.vehicle import Status
from sitegen.shared_data import ThemeFolders, content_folder, theme_folders

if TYPE_CHECKING:
    from sitegen.pages.site import Site


@dataclass(frozen=True)
class BuildRequest:
    """Which store to compose, and who makes its pictures and pages."""

    folder: Path
    jobs: int | None = None
    """The number of worker processes on this machine. None means one for each core."""
    scheduler: str | None = None
    """The address of a scheduler whose workers run on other machines."""
    leave_out_faulty: bool = False
    """Whether to continue without a vehicle whose files have an error."""
    moment: datetime = field(default_factory=moment_of_build)
    """The moment of the request, which counts as the moment of the build."""
    only_problems: bool = False
    """Whether only the problems are needed, and no site."""

    @property
    def cache(self) -> Path:
        """Return the folder in which results of earlier builds are cached."""
        return self.folder / ".cache"


@dataclass(frozen=True)
class BuildResult:
    """The result of composing a store. `store` or `site` is None if an error prevented it."""

    problems: tuple[Problem, ...]
    store: Store | None = None
    material: Material | None = None
    site: Site | None = None
    lines: tuple[Line, ...] = ()
    """The ledger's lines before this build."""
    vehicles: int = 0
    """The number of vehicles on the site."""
    left_out: frozenset[str] = frozenset()
    """Vehicles with an error in their files, which the site omits."""
    conditions: Mapping[str, Condition] = field(default_factory=dict)
    """The condition of each vehicle that is not in preparation, by stock, including those that the gate holds."""
    today: date = date.max
    """The date at the store."""
    differences: tuple[Problem, ...] = ()
    """The problems that compare with the last publication. They no longer apply after the next one."""
    until: date = date.max
    """The first day on which the same files may give another result."""


def compose(
    request: BuildRequest,
    terminal: Terminal,
    earlier: Collection[str] = (),
    sitemap: str = "",
    workers: Executor | None = None,
    engine: Engine | None = None,
) -> BuildResult:
    """Compose a store's folder into a site. A vehicle that the gate holds back is left out and reported as an error.

    If something that was disclosed is gone without a reason in the record, there is no site. `earlier` are the pages
    in the folder of publication; like the pages in the ledger, their addresses still answer. If
    `request.leave_out_faulty` is true, a vehicle with an error in its files is left out, and its entries in the
    published `sitemap` stay.

    If only problems are requested, the site may be missing: composing can only add problems of templates, and the
    default theme's templates are tested. `workers` on this machine and an `engine` are started if none are given.
    """
    own = None if engine else opened_engine(request, terminal)
    engine = engine or own
    assert engine is not None
    with (
        nullcontext(workers) if workers else LocalWorkers(request.jobs) as near,
        _far_workers(request) as far,
    ):
        try:
            composed = _guarded(request, terminal, earlier, sitemap, Executors(near, far), engine)
            return replace(composed, until=engine.until)
        finally:
            if own is not None:
                own.settle()  # and not closed, because the site's pages are read from the result store


def opened_engine(request: BuildRequest, terminal: Terminal) -> Engine:
    """Return the engine of a store on the day of the request."""
    return Engine.opened(request.folder, today_of_store(request.folder, request.moment), terminal.say_wrong)


def _guarded(
    request: BuildRequest,
    terminal: Terminal,
    earlier: Collection[str],
    sitemap: str,
    executors: Executors,
    engine: Engine,
) -> BuildResult:
    """Compose the site. Report the vehicles whose tasks raise exceptions, or compose it again without them."""
    faulty: dict[str, Problem] = {}
    while True:
        try:
            composed = _compose(request, terminal, earlier, sitemap, executors, engine, faulty)
            return replace(composed, problems=(*composed.problems, *faulty.values()))
        except FaultyVehiclesError as error:
            from sitegen.commands.shared.template_problems import guard_problems

            settings = engine.loaded(SETTINGS, "")
            folders = theme_folders(settings.theme if settings else "", request.folder)
            problems = dict(zip(error.faults, guard_problems(error, folders), strict=True))
            if not request.leave_out_faulty or error.are_all:
                store, read = read_store(request.folder, engine.day, leave_out_faulty=True, engine=engine)
                return BuildResult(tuple(dict.fromkeys((*read, *faulty.values(), *problems.values()))), store)
            faulty |= problems


def _compose(
    request: BuildRequest,
    terminal: Terminal,
    earlier: Collection[str],
    sitemap: str,
    executors: Executors,
    engine: Engine,
    faulty: Collection[str],
) -> BuildResult:
    """Return the composed site, as `compose` does, with the engine open and the workers started.

    `faulty` vehicles are left out, because their tasks raise exceptions.
    """
    store, problems = read_store(
        request.folder, engine.day, leave_out_faulty=request.leave_out_faulty, engine=engine, executors=executors
    )
    lines, of_ledger = read_ledger(request.folder)
    if exit_code(problems):
        problems = (
            *problems,
            *_in_part(request.folder, engine, None if store is None else faulty_vehicles(problems), lines),
        )
    if store is None or of_ledger:
        return BuildResult((*problems, *of_ledger), store)
    store = without(store, faulty)
    folders = theme_folders(store.settings.theme, store.folder)
    composes = folders.has_own_templates() or not request.only_problems
    if faults := _template_faults(folders) if composes else ():
        return BuildResult((*problems, *faults))
    figures = read_figures(content_folder(), store.settings.region)
    conditions = conditions_of(store, figures)
    going_out = _may_publish(conditions, engine, executors)
    held = _held_back(store, conditions.keys() - going_out, figures)
    shown = conditions.of(going_out)
    with terminal.progress("Photos") as advance:
        sound, pictures, unusable = _pictures(store, request, advance, engine, executors)
    told = (*problems, *held, *_unfit_quotes(store, figures), *unusable)
    if sound is None:
        return BuildResult(told, store)
    with terminal.progress("Seconds of film") as advance:
        sound, of_films = _films(sound, request, advance, engine, executors)
    told = (*told, *of_films)
    if sound is None:
        return BuildResult(told, store)
    try:
        disclosed = _facts(sound, shown, pictures, engine, executors, is_needed=composes or bool(lines))
        before = Before(sound, lines, engine.today)
        gone = (*before.gone(disclosed), *before.all_unknown_corrections())
        told = (*told, *gone)
        if exit_code(gone) and not request.leave_out_faulty:
            return BuildResult(told, store)
        if not composes:
            return BuildResult(told, sound, vehicles=len(shown))
        from sitegen.commands.tasks.site import site_of

        left_out = {*faulty, *(faulty_vehicles((*problems, *unusable, *of_films, *gone)) or ())}
        sound = without(sound, left_out)
        facts = disclosed.without(left_out)
        shown = shown.of(shown.keys() - left_out)
        past, renamed, ever = before.past(facts), before.renamed(facts), stocks(lines) - left_out
        material = Material(
            shown, pictures, figures, facts, past, renamed=renamed, ever=ever, started=_started(lines)
        )
        answering = {page for page in (*earlier, *addresses(lines)) if not is_of(page, left_out)}
        listed = still_listed(earlier, left_out, sitemap, sound.settings.base_address)
        site = site_of(sound, material, before.versions, answering, listed, engine, executors)
    except FaultyVehiclesError:
        raise
    except ProblemsError as fault:
        from sitegen.commands.shared.template_problems import missing_words_problems

        return BuildResult((*told, *missing_words_problems(fault, folders)), store)
    except Exception as fault:  # a template may raise anything; an exception of other code is raised again
        from sitegen.commands.shared.template_problems import template_problem

        return BuildResult((*told, template_problem(fault, folders)), store)
    if request.only_problems:  # in drawing none is found
        return BuildResult(told, sound, vehicles=len(shown))
    cards = {drawing.file: drawing.card for drawing in site.drawings}
    drawn = make_share_pictures(cards, engine, executors)
    done = site.with_drawn(drawn)
    left = frozenset(left_out)
    return BuildResult(told, sound, material, done, lines, len(shown), left, conditions, engine.today, gone)


def _started(lines: Sequence[Line]) -> date | None:
    """Return the day of the first publication, or None before it."""
    return date.fromisoformat(lines[0].time[:10]) if lines else None


def _pictures(
    store: Store, request: BuildRequest, advance: Advance, engine: Engine, executors: Executors
) -> tuple[Store | None, Pictures, tuple[Problem, ...]]:
    """Return the store without vehicles whose photos are unusable, the pictures, and the problems of unusable photos.

    The store is None if an unusable photo must stop the build.
    """
    told: tuple[Problem, ...] = ()
    while True:
        pictures, unusable = make_pictures(store, engine, advance, executors)
        told += unusable
        if not exit_code(unusable):
            return store, pictures, told
        if not request.leave_out_faulty:
            return None, pictures, told
        store = without(store, faulty_vehicles(unusable) or ())


def _may_publish(stocks: Collection[str], engine: Engine, executors: Executors) -> frozenset[str]:
    """Return the stock numbers of the vehicles whose pages may be published."""
    map_vehicles(engine, may_publish, stocks, executors)
    return frozenset(stock for stock in stocks if engine.result(may_publish, stock))


def _facts(
    store: Store,
    shown: Collection[str],
    pictures: Pictures,
    engine: Engine,
    executors: Executors,
    *,
    is_needed: bool,
) -> Results[bytes]:
    """Return the `record.json` of every vehicle that has a page, computed beforehand if it `is_needed`."""
    records = (vehicle.record for vehicle in store.vehicles)
    keys = [record.stock for record in records if record.stock in shown and record.status is not Status.PREPARING]
    for stock in keys:
        engine.give(pictures_of, stock, dict(pictures.of_vehicle(stock)))
        engine.give(film_of, stock, store.film_of(stock))
    if is_needed:
        map_vehicles(engine, record_json, keys, executors)
    return Results(engine, record_json, keys)


def _films(
    store: Store, request: BuildRequest, advance: Advance, engine: Engine, executors: Executors
) -> tuple[Store | None, tuple[Problem, ...]]:
    """Return the store with its films and without vehicles whose films are unusable, and the problems of films.

    The store is None if an unusable film must stop the build.
    """
    if not any(vehicle.clips for vehicle in store.vehicles):
        return store, ()
    from sitegen.film.films import make_films

    filmed, told = make_films(store, engine, advance, executors)
    if not exit_code(told):
        return filmed, told
    return (without(filmed, faulty_vehicles(told) or ()) if request.leave_out_faulty else None), told


def _far_workers(request: BuildRequest) -> AbstractContextManager[Executor | None]:
    if not request.scheduler:
        return nullcontext()
    from sitegen.engine.cluster import cluster_workers

    return cluster_workers(request.scheduler)


# What makes pages takes a third of the time in which all is loaded, and a check seldom needs it.


def _template_faults(folders: ThemeFolders) -> tuple[Problem, ...]:
    from sitegen.pages.frame.template_faults import template_faults

    return tuple(template_faults(folders))


def _in_part(
    folder: Path, engine: Engine, names: Collection[str] | None, lines: Sequence[Line]
) -> tuple[Problem, ...]:
    from sitegen.commands.shared.gate_problems import problems_in_part
    from sitegen.reading.store import read_in_part

    return tuple(problems_in_part(read_in_part(folder, engine.day, names), engine, lines))


def _unfit_quotes(store: Store, figures: Figures) -> tuple[Problem, ...]:
    if not any(vehicle.record.outlook for vehicle in store.vehicles):
        return ()
    from sitegen.commands.shared.gate_problems import unfit_quotes

    return tuple(unfit_quotes(store, figures))


def _held_back(store: Store, held: Collection[str], figures: Figures) -> tuple[Problem, ...]:
    if not held:
        return ()
    from sitegen.commands.shared.gate_problems import held_back
    from sitegen.pages.composing import speaker

    return tuple(held_back(store, gates_of(store, held, figures), speaker(store.settings, figures)("en")))
