"""`sitegen desk`: write the salesperson's pages. They are never part of the public site."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping
from pathlib import Path

from jinja2 import TemplateError

from sitegen.commands.shared.composition import BuildRequest, BuildResult, compose
from sitegen.commands.shared.desk import place_on_desk, replace_on_desk
from sitegen.commands.shared.template_problems import template_problem
from sitegen.commands.shared.terminal import Terminal
from sitegen.pages.composing import speaker, surroundings_in_each_language
from sitegen.pages.desk.desk_pages import DeskMaterial, desk_pages
from sitegen.pages.desk.to_do import ToDo, faults_to_mend
from sitegen.pages.frame.theme import read_theme
from sitegen.records.problems import Problem
from sitegen.shared_data import ThemeFolders, theme_folders


def desk(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write all of the desk's pages, or none. A vehicle with an error in its files is listed as something to do."""
    folder = place_on_desk(arguments.store, "sales", arguments.to)
    composed = compose(BuildRequest(arguments.store, arguments.jobs, leave_out_faulty=True), terminal)
    wrong = terminal.tell(composed.problems)
    if composed.site is None:
        return wrong
    try:
        replace_on_desk(folder, _files(composed))
    except TemplateError as fault:
        return terminal.tell([template_problem(fault, _theme(composed))])
    terminal.say(f"The desk: {folder / 'index.html'}   (open it, or copy the folder to the phone)")
    return wrong


def _files(composed: BuildResult) -> Iterator[tuple[str, bytes | Path]]:
    store, material, site = composed.store, composed.material, composed.site
    assert store is not None
    assert material is not None
    assert site is not None
    judged = DeskMaterial(
        conditions=composed.conditions,
        shown=frozenset(material.conditions),
        pictures=material.pictures,
        figures=material.figures,
        faults=_faults(composed),
        files=site.files,
    )
    spoken = surroundings_in_each_language(
        store, read_theme(store), composed.today, speaker(store.settings, material.figures)
    )
    return desk_pages(_theme(composed), spoken, judged)


def _theme(composed: BuildResult) -> ThemeFolders:
    assert composed.store is not None
    return theme_folders(composed.store.settings.theme, composed.store.folder)


def _faults(composed: BuildResult) -> Mapping[str, tuple[ToDo, ...]]:
    """Return, for each vehicle that was left out, the errors in its files as things to do."""
    by_folder: dict[str, list[Problem]] = {}
    for problem in composed.problems:
        parts = problem.file.split("/")
        if parts[0] == "vehicles" and len(parts) > 1:
            by_folder.setdefault(parts[1], []).append(problem)
    return {stock: faults_to_mend(by_folder.get(stock, ())) for stock in sorted(composed.left_out)}
