"""A program that publishes version 2 over version 1 repeatedly, and is killed one step later each time.

`python -m tests.publishing.killed BASE KEPT` creates BASE/0/published, BASE/1/published ... until a run completes.
A step is any event about files and folders, or about the exchange of folders, that the interpreter reports to its
audit hooks (PEP 578). With KEPT, each folder also holds a foreign file, which rules out the exchange.
"""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path

from sitegen.publishing.publication import publish
from tests.publishing.sites import TODAY, a_site

COUNTED = ("open", "os.", "shutil.", "ctypes.dlsym", "ctypes.call_function")


def publish_and_be_killed_at(step: int, to: Path) -> None:
    """Publish version 2, and kill this process at the given step."""
    passed = 0

    def hook(event: str, _: object) -> None:
        nonlocal passed
        if event.startswith(COUNTED) and event != "os.kill":
            passed += 1
            if passed > step:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(hook)
    publish(a_site("2", range(2, 5)), to, TODAY)
    os._exit(0)


def main(base: Path, kept: bool) -> None:
    """Repeat with one more step each time, until a publication completes."""
    step, through = 0, False
    while not through:
        to = base / str(step) / "published"
        publish(a_site("1", range(1, 4)), to, TODAY)
        if kept:
            (to / "webmaster.txt").write_text("kept")
        child = os.fork()
        if not child:
            publish_and_be_killed_at(step, to)
        ending = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        assert ending in (0, -signal.SIGKILL)
        through = ending == 0
        step += 1


if __name__ == "__main__":
    main(Path(sys.argv[1]), len(sys.argv) > 2)
