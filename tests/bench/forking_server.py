"""Run command lines, each in a forked process, which saves the time of importing the program's libraries.

Each line of standard input is a JSON list: arguments, folder, seconds. Each answer is one: exit code, output. What
has threads, such as the minifier of scripts, is not imported before a fork.
"""

from __future__ import annotations

import json
import os
import select
import signal
import sys
import tempfile
import traceback
from importlib import import_module

from sitegen.commands import main

DEMO_DAY = "1795262400"
"""The day of `tests.conftest`, which imports too much to be imported here."""
LIBRARIES = ("sitegen.reading.vehicle_files", "sitegen.condition.judging", "jinja2", "babel.dates", "PIL.Image")


def serve() -> None:
    """Answer each line of standard input until it ends."""
    for library in LIBRARIES:
        import_module(library)
    for line in sys.stdin:
        arguments, folder, seconds = json.loads(line)
        print(json.dumps(run_forked(arguments, folder, seconds)), flush=True)


def run_forked(arguments: list[str], folder: str, seconds: float) -> tuple[int | None, str]:
    """Run the command in a forked process. Return its exit code, or None after too long, and all that it printed."""
    with tempfile.TemporaryFile() as output:
        child = os.fork()
        if child == 0:
            _be_child(arguments, folder, output.fileno())
        watch = os.pidfd_open(child)
        is_done = bool(select.select([watch], [], [], seconds)[0])
        os.close(watch)
        if not is_done:
            os.killpg(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        output.seek(0)
        told = output.read().decode("utf-8", "replace")
    return (os.waitstatus_to_exitcode(status) if is_done else None), told


def _be_child(arguments: list[str], folder: str, output: int) -> None:
    os.setsid()
    os.chdir(folder)
    os.environ["SOURCE_DATE_EPOCH"] = DEMO_DAY
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    for stream in (1, 2):
        os.dup2(output, stream)
    code = 99
    try:
        code = main(arguments)
    except BaseException:  # whatever is raised is what is looked for
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


if __name__ == "__main__":
    serve()
