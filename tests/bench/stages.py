"""Run one sitegen command and measure each of its stages: `python -m tests.bench.stages REPORT build STORE`."""

from __future__ import annotations

import functools
import json
import os
import sys
import threading
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from pkgutil import resolve_name
from typing import Any

_BUILDING, _COMPOSITION = (f"sitegen.commands.shared.{name}" for name in ("building", "composition"))
_SITE = "sitegen.commands.tasks.site"
STAGES: dict[str, tuple[tuple[str, str], ...]] = {
    "reading": ((_COMPOSITION, "read_store"),),
    "judging": ((_COMPOSITION, "_may_publish"),),
    "photos": (
        (_COMPOSITION, "_pictures"),
        (_COMPOSITION, "make_share_pictures"),
        ("sitegen.photos.photo_warnings", "warnings_about"),
    ),
    "composing and rendering": ((_COMPOSITION, "_facts"), (_SITE, "site_of")),
    "ledger": (
        (_COMPOSITION, "read_ledger"),
        *((f"{_COMPOSITION}.Before", method) for method in ("gone", "past", "renamed", "versions")),
        *((_BUILDING, name) for name in ("disclosures_of", "lines_to_add", "sealed", "add", "shown_files")),
    ),
    "publishing": ((_BUILDING, "publish"),),
}
"""Functions by where the command looks them up. Told by name: a worker loads this module, and only that."""
ONLY_OF_BUILDS = (_BUILDING, _SITE)
"""What a check does not load, so that it is not loaded for it here."""
REST = "the rest"
EVERY = 0.05
"""Seconds between two looks at the memory of the processes."""
_TICKS = os.sysconf("SC_CLK_TCK")


class Stopwatch:
    """Takes the time of stages, wall and processor, and watches the memory of this process and its children."""

    def __init__(self) -> None:
        self.wall: dict[str, float] = defaultdict(float)
        self.processor: dict[str, float] = defaultdict(float)
        self.peaks: dict[int, float] = {}
        """Megabytes of resident memory at most, by process."""
        self._open = [REST]
        self._last = (time.perf_counter(), processor_of_all())

    @contextmanager
    def within(self, stage: str) -> Iterator[None]:
        """Count what happens inside to a stage."""
        self.split()
        self._open.append(stage)
        try:
            yield
        finally:
            self.split()
            self._open.pop()

    def split(self) -> None:
        """Count what happened since the last split to the stage at work."""
        now = (time.perf_counter(), processor_of_all())
        self.wall[self._open[-1]] += now[0] - self._last[0]
        self.processor[self._open[-1]] += now[1] - self._last[1]
        self._last = now

    def watch(self) -> None:
        """Look at the memory of all processes again and again."""
        while True:
            for process in (os.getpid(), *children()):
                status = _proc(process, "status").splitlines()
                peak = next((line for line in status if line.startswith("VmHWM:")), None)
                if peak:
                    self.peaks[process] = int(peak.split()[1]) / 1024
            time.sleep(EVERY)

    def report(self) -> dict[str, Any]:
        """Return all of it, ready for JSON."""
        workers = sorted((peak for process, peak in self.peaks.items() if process != os.getpid()), reverse=True)
        return {
            "wall": self.wall,
            "processor": self.processor,
            "parent": self.peaks[os.getpid()],
            "worker": workers[0] if workers else 0.0,
        }


def children() -> list[int]:
    """Return the processes that this one has begun and that still run."""
    return [int(name) for task in Path("/proc/self/task").iterdir() for name in _read(task / "children").split()]


def processor_of_all() -> float:
    """Return the seconds of processor of this process and all that it has begun, ended or not."""
    own = os.times()
    running = 0
    for process in children():
        fields = _proc(process, "stat").rpartition(")")[2].split()
        running += int(fields[11]) + int(fields[12]) if fields else 0
    return own.user + own.system + own.children_user + own.children_system + running / _TICKS


def _proc(process: int, file: str) -> str:
    return _read(Path("/proc", str(process), file))


def _read(file: Path) -> str:
    """Return the text of a file of `/proc`; nothing where its process has ended."""
    try:
        return file.read_text()
    except OSError:
        return ""


def timed(stage: str, act: Callable[..., Any], watch: Stopwatch) -> Callable[..., Any]:
    """Return a function that does the same and counts to a stage."""

    @functools.wraps(act)
    def act_timed(*arguments: Any, **named: Any) -> Any:
        with watch.within(stage):
            return act(*arguments, **named)

    return act_timed


def run(report: Path, command: list[str]) -> int:
    """Run a command and write the report; return its exit code."""
    watch = Stopwatch()
    for stage, functions in STAGES.items():
        for where, name in functions:
            if where in ONLY_OF_BUILDS and command[0] != "build":
                continue
            place = resolve_name(where)
            setattr(place, name, timed(stage, getattr(place, name), watch))
    threading.Thread(target=watch.watch, daemon=True).start()
    code: int = resolve_name("sitegen.commands.entry:main")(command)
    time.sleep(2 * EVERY)
    watch.split()
    report.write_text(json.dumps(watch.report()))
    return code


if __name__ == "__main__":
    sys.exit(run(Path(sys.argv[1]), sys.argv[2:]))
