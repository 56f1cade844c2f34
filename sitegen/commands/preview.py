"""`sitegen preview`: serve the site on this computer only. Rebuild it after each change and reload the open pages."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from watchfiles import Change, watch

from sitegen.commands.serving.preview_server import Showing, serving
from sitegen.commands.shared.clock import day_at_store, moment_of_build
from sitegen.commands.shared.composition import BuildRequest, compose
from sitegen.commands.shared.desk import DESK, PUBLISHED
from sitegen.commands.shared.inbox import INBOX, place_of_inbox, take_in_arrivals
from sitegen.commands.shared.terminal import Terminal
from sitegen.pages.gallery.gallery import FOLDER, component_pages
from sitegen.pages.site import Site
from sitegen.publishing.publication import publish
from sitegen.reading.reference.figures import read_figures
from sitegen.records.problems import Problem, ProblemsError
from sitegen.records.store import Store
from sitegen.shared_data import content_folder, themes_folder


def preview(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Serve the site until Ctrl-C.

    If a build fails, show its problems here and on the pages, and keep the last good site.
    """
    request = BuildRequest(arguments.store.resolve(), arguments.jobs)
    showing = Showing(request.cache / "preview")
    with serving(showing, arguments.port) as address:
        page = f"{FOLDER}/" if arguments.components else ""
        terminal.say(f"Open {address}{page}   (Ctrl-C ends the preview)")
        try:
            inbox = place_of_inbox(request.folder) if arguments.inbox else None
            for is_only_inbox in _changes(request.folder, inbox):
                report = take_in_arrivals(request.folder, moment_of_build(), terminal) if inbox is not None else None
                has_taken = report is not None and bool(report.taken)
                if has_taken or not is_only_inbox:
                    _rebuild(request, arguments.components, showing, terminal)
        except KeyboardInterrupt:
            return 0
    return 0


def _rebuild(request: BuildRequest, components: bool, showing: Showing, terminal: Terminal) -> None:
    """Build the site again, with the theme's component pages if requested, and reload all open pages."""
    composed = compose(request, terminal)
    problems = list(composed.problems)
    if composed.site is not None and composed.store is not None:
        site = composed.site
        try:
            site = _with_components(composed.site, composed.store) if components else site
        except ProblemsError as fault:
            problems += fault.problems
        published = publish(site, showing.folder, moment_of_build().date())
        if isinstance(published, Problem):
            problems.append(published)
        else:
            terminal.say(f"Ready: {len(published.changed)} files new or changed")
    terminal.tell(problems)
    showing.show(problems)


def _with_components(site: Site, store: Store) -> Site:
    figures = read_figures(content_folder(), store.settings.region)
    today = day_at_store(moment_of_build(), store.settings.time_zone)
    return replace(site, pages={**site.pages, **component_pages(store, figures, today)})


def _changes(store: Path, inbox: Path | None = None) -> Iterator[bool]:
    """Yield once at the start, then after each change of a file that the site is made from, or of a zip in the inbox.

    The first item comes after the watch has started, so that no change during the first build is missed. Files that
    the program itself writes do not count. An item is true if nothing but the inbox has changed.
    """
    own_writing = [store / name for name in (".cache", PUBLISHED, DESK)]

    def is_in_inbox(path: Path) -> bool:
        return inbox is not None and path.parent == inbox

    def counts(change: Change, path: str) -> bool:
        file = Path(path)
        if is_in_inbox(file):
            return change is not Change.deleted and file.suffix.lower() == ".zip"
        ours = (*own_writing, *((inbox,) if inbox is not None else (store / INBOX,)))
        return not any(file.is_relative_to(place) for place in ours)

    places = dict.fromkeys((store, content_folder(), themes_folder(), *((inbox,) if inbox is not None else ())))
    started = False
    for changes in watch(
        *places, watch_filter=counts, debounce=300, step=50, rust_timeout=250, yield_on_timeout=True
    ):
        if changes or not started:
            yield started and all(is_in_inbox(Path(path)) for _, path in changes)
            started = True
