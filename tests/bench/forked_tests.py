"""Runs the tests that call a changed function, each time in a fork of one process that has collected all of them.

Bench `mutants` starts it in a copy of the sources. It reads a line of JSON for each mutant, and answers with a word:
`killed`, `survived`, or `unknown`, if the change is outside functions, or in one that no test calls in this process.
"""

from __future__ import annotations

import gc
import importlib
import json
import os
import signal
import sys
import threading
import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path
from types import CodeType, FrameType, FunctionType, ModuleType
from typing import Any

import pytest

SEARCHED = "hypothesis"
OPTIONS = (
    *("-q", "-m", f"not {SEARCHED}", "-p", "no:cacheprovider", "-p", "no:xdist", "-p", "no:rerunfailures"),
    *("-o", "tmp_path_retention_policy=none"),
)
"""For every run of tests on mutants: without searched properties, which would take most of the time."""

Place = tuple[str, int, str]
"""A function: its file, first line and qualified name."""


class ForkedTests:
    """Replaces the running of tests by a loop over mutants."""

    def __init__(self) -> None:
        """Begin with no knowledge of which test calls what."""
        self._callers: dict[Place, list[int]] = defaultdict(list)
        self._seconds: list[float] = []

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Learn what each test calls; then answer for each mutant on standard input."""
        learned = in_a_fork(partial(calls_of_each_test, session))
        print("failed" if learned is None else "ready", file=ANSWERS, flush=True)
        for number, (seconds, called) in enumerate(learned or ()):
            self._seconds.append(seconds)
            for file, line, name in called:
                self._callers[file, line, name].append(number)
        for line in QUESTIONS:
            print(self._answer(session, json.loads(line)), file=ANSWERS, flush=True)
        return True

    def _answer(self, session: pytest.Session, mutant: dict[str, str]) -> str:
        changed = changed_functions(Path(mutant["module"]), mutant["text"])
        live = [function for function in functions() if place_of(function.__code__) in changed]
        numbers = {number for place in changed for number in self._callers[place]}
        if not numbers or not live:
            return "unknown"
        child = os.fork()
        if child == 0:
            signal.alarm(int(30 + 5 * sum(self._seconds[number] for number in numbers)))
            try:
                for function in live:
                    function.__code__ = changed[place_of(function.__code__)]
            except ValueError:  # it needs another number of outer variables
                os._exit(2)
            run(session, sorted(numbers, key=self._seconds.__getitem__))
            os._exit(0)
        ended = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        return {0: "survived", 2: "unknown"}.get(ended, "killed")


def in_a_fork(work: Callable[[], Any]) -> Any:
    """Return what some work comes to in a fork, so that nothing is remembered; None if the fork ended before."""
    reader, writer = os.pipe()
    if os.fork() == 0:
        with os.fdopen(writer, "w") as out:
            json.dump(work(), out)
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader) as answer:
        text = answer.read()
    os.wait()
    return json.loads(text) if text else None


def calls_of_each_test(session: pytest.Session) -> list[tuple[float, list[Place]]]:
    """Run every test; return its seconds, and the functions of the program that it and its fixtures called."""
    program = str(Path.cwd() / "sitegen")
    called: set[CodeType] = set()
    of_fixtures: dict[str, set[CodeType]] = {}

    def note(frame: FrameType, *_: object) -> None:
        called.add(frame.f_code)

    class Fixtures:
        @pytest.hookimpl(wrapper=True)
        def pytest_fixture_setup(self, fixturedef: Any) -> Iterator[None]:
            before = set(called)
            called.clear()
            try:
                return (yield)
            finally:
                of_fixtures.setdefault(fixturedef.argname, set()).update(called)
                called.update(before)

    session.config.pluginmanager.register(Fixtures())
    sys.settrace(note)
    threading.settrace(note)
    found = []
    for number, item in enumerate(session.items):
        called.clear()
        began = time.monotonic()
        run(session, [number], session.items[number + 1 : number + 2])
        codes = called.union(*(of_fixtures.get(name, ()) for name in getattr(item, "fixturenames", ())))
        places = [place_of(each) for each in codes if each.co_filename.startswith(program)]
        found.append((time.monotonic() - began, places))
    return found


def run(session: pytest.Session, numbers: list[int], following: Sequence[pytest.Item] = ()) -> None:
    """Run tests by their numbers; what those that follow share with them stays.

    At the first test that fails the process ends with status 1.
    """

    class Ends:
        def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
            if report.failed:
                os._exit(1)

    session.config.pluginmanager.register(Ends(), "sitegen ends")
    items = [session.items[number] for number in numbers]
    for item, after in zip(items, [*items[1:], next(iter(following), None)], strict=True):
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
    session.config.pluginmanager.unregister(name="sitegen ends")


def changed_functions(module: Path, text: str) -> dict[Place, CodeType]:
    """Return the new code of the outermost functions that a text changes. The texts have their lines in common."""
    file = str(module.resolve())
    old, new = (
        {place_of(each): each for each in codes(compile(t, file, "exec"))} for t in (module.read_text(), text)
    )
    return {place: code for place, code in new.items() if place in old and code != old[place]}


def codes(code: CodeType) -> Iterator[CodeType]:
    """Yield the code of every function in a module or class, but not of those within functions."""
    for each in code.co_consts:
        if isinstance(each, CodeType):
            is_class = not each.co_flags & 0x02  # CO_NEWLOCALS: only functions have it
            if is_class:
                yield from codes(each)
            else:
                yield each


def place_of(code: CodeType) -> Place:
    return code.co_filename, code.co_firstlineno, code.co_qualname


def functions() -> Iterator[FunctionType]:
    """Yield every function that there is."""
    return (each for each in gc.get_objects() if isinstance(each, FunctionType))


class LoadedLate(ModuleType):
    """A library that is loaded when it is first used: one that starts threads, then, in the fork that uses it."""

    def __getattr__(self, name: str) -> Any:
        """Load the library in place of this."""
        if name.startswith("__"):
            raise AttributeError(name)
        if sys.modules.get(self.__name__) is self:
            del sys.modules[self.__name__]
        return getattr(importlib.import_module(self.__name__), name)


if __name__ == "__main__":
    sys.modules["minify"] = LoadedLate("minify")
    # What the tests print goes nowhere, and they read nothing: mutants and answers go past them.
    QUESTIONS, ANSWERS = os.fdopen(os.dup(0)), os.fdopen(os.dup(1), "w")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    sys.exit(pytest.main([*OPTIONS, *sys.argv[1:]], plugins=[ForkedTests()]))
