"""A build that is killed takes FFmpeg with it, and its workers."""

from __future__ import annotations

import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from threading import Event

import pytest

from tests.builders import write_store
from tests.film.films import Film, make_film

if sys.platform != "linux":
    pytest.skip("processes are found in /proc", allow_module_level=True)

SHOWN = ({"station": "front"}, {"defect": "fog-light-lens"})


@pytest.mark.parametrize(("jobs", "how"), [(1, signal.SIGTERM), (2, signal.SIGKILL)])
def test_a_killed_build_ends_its_programs(tmp_path: Path, jobs: int, how: signal.Signals):
    clips = [{"file": f"{place}.mov", **what} for place, what in enumerate(SHOWN)]
    store = write_store(tmp_path / "store", ({"film": {"clips": clips}},))
    films = store / "vehicles" / "K900" / "film"
    films.mkdir()
    make_film(Film("0.mov", size=(1920, 1080), seconds=8, sound="none"), films)
    (films / "1.mov").write_bytes((films / "0.mov").read_bytes())
    command = [sys.executable, "-m", "sitegen", "build", str(store), "--jobs", str(jobs)]
    build = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
    wait_for(lambda: any("libx264" in line for line in processes(store)), build)
    build.send_signal(how)
    build.wait(timeout=20)
    wait_for(lambda: not processes(store))


def wait_for(is_so: Callable[[], bool], running: subprocess.Popen[bytes] | None = None) -> None:
    """Look until something is so: for half a minute, or while a process runs."""
    pause = Event()
    for _ in range(300):
        if is_so():
            return
        assert running is None or running.poll() is None, "the build has ended by itself"
        pause.wait(0.1)
    raise AssertionError("it did not come to that")


def processes(store: Path) -> list[str]:
    """Return the command lines of all programs that work on a store's films."""
    lines = []
    for process in Path("/proc").glob("[0-9]*"):
        try:
            line = (process / "cmdline").read_bytes().replace(b"\0", b" ").decode(errors="replace")
            is_ours = str(store) in line and Path(line.split()[0]).name.startswith("ffmpeg")
        except (OSError, IndexError):
            continue
        if is_ours:
            lines.append(line)
    return lines
