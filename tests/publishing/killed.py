"""A program that publishes version 2 over version 1 again and again, and is killed one step later each time.

`python -m tests.publishing.killed BASE KEPT` makes BASE/0/published, BASE/1/published ... until a run gets through.
A step is anything that the interpreter reports to its audit hooks (PEP 578) of files and folders, or of the call
that exchanges folders. With KEPT, each folder also holds a file of the webmaster's, which rules out the exchange.
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
    """Publish version 2, and end as by a power cut at the given step."""
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
    """Go one step further until the publication is through before it is killed."""
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
