"""What the scripts of a theme take of each other and do not get, and forms of modules that are not known."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from graphlib import CycleError, TopologicalSorter

from sitegen.reading.validation.did_you_mean import did_you_mean
from sitegen.records.problems import Problem
from sitegen.scripts import Script
from sitegen.shared_data import ThemeFolders

_FORMS = "import { a, b as c } from './file.mjs', import('./file.mjs'), export function, export class or export const"


def faults_of_scripts(folders: ThemeFolders) -> Iterator[Problem]:
    """Yield the forms that are not known, the names that nobody gives, and modules that take each other."""
    files = {path: file for path, file in folders.files().items() if path.endswith(".mjs")}
    scripts = {path: Script(file.read_text("utf-8", errors="replace")) for path, file in files.items()}
    by_name = {path.rpartition("/")[2]: path for path in scripts}
    for path, script in scripts.items():
        shown = folders.shown_as(path)
        for found, place in script.unknown():
            line = script.text.count("\n", 0, place) + 1
            column = place - script.text.rfind("\n", 0, place)
            yield Problem(shown, line, column, "", found, _FORMS, "write it in one of these ways")
        for file, names in script.taken.items():
            source = by_name.get(file)
            for name in names if source else ():
                given = scripts[source].given if source else {}
                if name not in given:
                    expected = f"the export {name}, which {shown} takes from it"
                    mend = did_you_mean(name, given, "write it, or take something else")
                    yield Problem(folders.shown_as(source or path), 0, 0, "", "no such export", expected, mend)
    taken = {path: [by_name[file] for file in script.taken if file in by_name] for path, script in scripts.items()}
    yield from _circle(taken, folders)


def _circle(taken: Mapping[str, list[str]], folders: ThemeFolders) -> Iterator[Problem]:
    try:
        TopologicalSorter(taken).prepare()
    except CycleError as fault:
        circle = ", ".join(path.rpartition("/")[2] for path in fault.args[1])
        shown, found = folders.shown_as(fault.args[1][0]), f"scripts that take of each other: {circle}"
        yield Problem(
            shown, 0, 0, "", found, "scripts that can be run one after the other", "move what both need to a third"
        )
