"""Bench `mutants`: put small faults into the code, one at a time, and list those that the tests do not notice.

`--kind deletion` deletes one case (`deletions.py`); `--kind operator` changes one operator or constant by cosmic-ray.
The mutant goes into a copy of the sources, never into the working copy. Each mutant meets only the tests of its own
room that call the changed function, without the searched properties, so a mutant that survives here may still be
caught by the whole suite. A sample is drawn by a seed, so that a run can be repeated.
"""

from __future__ import annotations

import argparse
import ast
import difflib
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
import warnings
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from tests.bench.deletions import deletions
from tests.bench.forked_tests import OPTIONS
from tests.conftest import REPOSITORY


@dataclass(frozen=True)
class Room:
    """What is mutated together: files and folders of `sitegen`, and the tests that each mutant meets."""

    modules: tuple[str, ...]
    tests: tuple[str, ...]


_CONDITION_TESTS = ("tests/condition", "tests/records/test_visits.py")
_OF_THE_GATE = (
    *("across_inspections", "costs_and_gate", "dangers", "figures_said", "gate_cases", "judging", "sentences"),
    *("since", "spelling", "words"),
)

ROOMS = {
    "gate": Room(
        ("condition/gate.py", "condition/standing", "condition/judging.py", "condition/since"),
        (
            *(f"tests/condition/test_{name}.py" for name in _OF_THE_GATE),
            *("tests/condition/brakes", "tests/condition/tires", "tests/condition/batteries_fluids_body"),
            "tests/reading/test_visits.py",
        ),
    ),
    "condition": Room(("condition",), _CONDITION_TESTS),
    "ledger": Room(
        ("ledger",),
        tuple(
            f"tests/ledger/test_{name}.py"
            for name in ("new_lines", "removed_disclosures", "revisions", "time_stamps")
        ),
    ),
    "engine": Room(("engine",), tuple(f"tests/engine/test_{name}.py" for name in ("damage", "days", "engine"))),
    "publishing": Room(
        ("publishing",),
        tuple(
            f"tests/publishing/test_{name}.py"
            for name in ("publication", "swapping", "marker", "retention", "target")
        ),
    ),
}
"""Rooms whose modules are mutated."""

SAME = ("ReplaceComparisonOperator_Is_Eq", "ReplaceComparisonOperator_IsNot_NotEq")
"""No faults: `==` says the same as `is` of None and of members of enumerations, to which alone `is` is put here."""

ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
"""For libraries of numbers: a fork copies no thread, and may wait for ever for one that held a lock."""

SECONDS = 300
"""A mutant that runs longer counts as killed: it never ends, where all tests of a room take ten seconds."""


@dataclass(frozen=True)
class Mutant:
    """One fault: the module, by its path in the repository, and its text with the fault in it."""

    module: str
    operator: str
    text: str
    change: str


def run(arguments: argparse.Namespace) -> None:
    """Print each survivor with its line as it is found, then how many mutants of the room the tests killed."""
    with tempfile.TemporaryDirectory() as place:
        copy = copied(Path(place) / "sources")
        for name in arguments.rooms or ROOMS:
            room = ROOMS[name]
            runner = Runner(copy, room.tests)
            mutants = (deleted_at if arguments.kind == "deletion" else operators_at)(room, arguments.seed)
            tried = survived = 0
            for mutant in islice(mutants, arguments.mutants):
                tried += 1
                if runner.survives(mutant):
                    survived += 1
                    print(f"{mutant.module}:{mutant.change} ({mutant.operator}, mutant {tried})\n", flush=True)
            runner.end()
            print(f"{name}: {tried} tried, {tried - survived} killed, {survived} survived\n", flush=True)


def modules_of(room: Room) -> Iterator[Path]:
    """Yield every module of a room."""
    for place in room.modules:
        path = REPOSITORY / "sitegen" / place
        yield from sorted(path.rglob("*.py")) if path.is_dir() else (path,)


def deleted_at(room: Room, seed: int) -> Iterator[Mutant]:
    """Yield every deletion of a room, in an order that the seed decides."""
    found: list[Mutant] = []
    for module in modules_of(room):
        source, path = module.read_text("utf-8"), module.relative_to(REPOSITORY).as_posix()
        found += [
            Mutant(path, each.kind, each.text, f"{each.line}: {each.deleted}")
            for each in deletions(source)
            if meaning(each.text) not in (None, meaning(source))
        ]
    random.Random(seed).shuffle(found)
    return iter(found)


def operators_at(room: Room, seed: int) -> Iterator[Mutant]:
    """Yield the operator mutants of a room, in an order that the seed decides."""
    places = list(places_of(room))
    random.Random(seed).shuffle(places)
    return mutants_at(places)


def copied(place: Path) -> Path:
    """Copy what the tests of these rooms need."""
    ignored = shutil.ignore_patterns("node_modules", "__pycache__", ".cache", "published", ".*_cache")
    for name in ("sitegen", "content", "themes", "tests", "demo_site"):
        shutil.copytree(REPOSITORY / name, place / name, ignore=ignored)
    shutil.copy2(REPOSITORY / "pyproject.toml", place)
    return place


def places_of(room: Room) -> Iterator[tuple[Path, str, int]]:
    """Yield every place of a room where a fault can be put: the module, the kind of fault, and which of that kind."""
    from cosmic_ray.ast import ast_nodes, get_ast
    from cosmic_ray.plugins import get_operator, operator_names

    kinds = [(name, get_operator(name)) for name in sorted(operator_names()) if not name.endswith(SAME)]
    for module in modules_of(room):
        nodes = list(ast_nodes(get_ast(module.read_text("utf-8"))))
        for name, kind in kinds:
            if not kind.arguments():
                operator = kind()
                count = sum(1 for node in nodes for _ in operator.mutation_positions(node))
                yield from ((module, name, number) for number in range(count))


def mutants_at(places: Iterable[tuple[Path, str, int]]) -> Iterator[Mutant]:
    """Yield the mutant of each place in turn, but those that only change a type or a docstring."""
    from cosmic_ray.mutating import mutate_code
    from cosmic_ray.plugins import get_operator

    for module, name, number in places:
        source = module.read_text("utf-8")
        text = mutate_code(source, get_operator(name)(), number)
        if text is not None and meaning(text) != meaning(source):
            path = module.relative_to(REPOSITORY).as_posix()
            yield Mutant(path, name.partition("/")[2], text, change(source, text))


def meaning(text: str) -> str | None:
    """Return a module's tree without what never runs: annotations and texts that stand alone. None if it is none, or
    Python itself warns of it, as of `is` with a literal, which says the same as `==` as long as nobody looks."""
    try:
        with warnings.catch_warnings(action="error"):
            compile(text, "mutant", "exec")
        tree = ast.parse(text)
    except (SyntaxError, SyntaxWarning):
        return None
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            node.returns = None
        elif isinstance(node, ast.arg):
            node.annotation = None
        elif isinstance(node, ast.AnnAssign):
            node.annotation = ast.Constant(None)
        elif isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            node.value = ast.Constant(None)
    return ast.dump(tree)


def change(source: str, text: str) -> str:
    """Return the lines that differ, with the number of the first."""
    lines = difflib.unified_diff(source.splitlines(), text.splitlines(), lineterm="", n=0)
    return "\n".join(list(lines)[2:])


class Runner:
    """Runs the tests of a room in the copy: those that call a changed function, or else all of them."""

    def __init__(self, copy: Path, tests: tuple[str, ...]) -> None:
        """Begin a process that collects the tests. Raises SystemExit if one does not pass as it is."""
        self._copy, self._tests = copy, tests
        self._environment = {**os.environ, "PYTHONPATH": str(copy), **ONE_THREAD}
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.bench.forked_tests", *tests],
            cwd=copy,
            env=self._environment,
            text=True,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        )
        if (found := self._answer()) != "ready":
            raise SystemExit(f"{found or tests} does not pass as it is, so there is nothing to compare with")

    def survives(self, mutant: Mutant) -> bool:
        """Put a mutant into the copy, run its tests, and take it out again."""
        assert self._process.stdin is not None
        place = self._copy / mutant.module
        original = place.read_text("utf-8")
        print(json.dumps({"module": mutant.module, "text": mutant.text}), file=self._process.stdin, flush=True)
        answer = self._answer()
        if answer != "unknown":
            return answer == "survived"
        place.write_text(mutant.text, "utf-8")
        try:
            return self._passes_all(mutant)
        finally:
            place.write_text(original, "utf-8")

    def end(self) -> None:
        """Let the process end."""
        self._process.communicate()

    def _answer(self) -> str:
        assert self._process.stdout is not None
        return self._process.stdout.readline().strip()

    def _passes_all(self, mutant: Mutant) -> bool:
        """Run all tests of the room in a process of its own, those of the module's folder first."""
        nearest = Path(mutant.module).parent.as_posix().replace("sitegen", "tests", 1)
        is_own = (self._copy / nearest).is_dir() and len(Path(nearest).parts) > 2
        command = [sys.executable, "-m", "pytest", "-x", *OPTIONS, *([nearest] if is_own else []), *self._tests]
        try:
            done = subprocess.run(
                command, cwd=self._copy, env=self._environment, capture_output=True, timeout=SECONDS
            )
        except subprocess.TimeoutExpired:
            return False
        return done.returncode == 0
