"""Run the `sitegen` command in forks of one process that has imported the program already.

Importing takes 0.6 s of processor time, most of a command on a small store. Each command still runs in a process of
its own, with its own environment, arguments and output files.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path

Completed = subprocess.CompletedProcess[str]

REPOSITORY = Path(__file__).resolve().parent.parent


class Forker:
    """Start commands in forks of a process that has imported every module of `sitegen`."""

    def __init__(self) -> None:
        environment = {**os.environ, "PYTHONPATH": str(REPOSITORY)}
        self._process = subprocess.Popen(
            [sys.executable, "-c", _SERVER], env=environment, text=True, stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )

    def run(self, arguments: Sequence[str], environment: Mapping[str, str], folder: Path, umask: int) -> Completed:
        """Return the exit code and the output of one command, run in `folder`; a `umask` below 0 changes nothing."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        with tempfile.TemporaryDirectory(prefix="command-") as place:
            order = {
                "arguments": [*arguments],
                "environment": {**environment},
                "folder": str(folder),
                "umask": umask,
                "outputs": [f"{place}/out", f"{place}/err"],
            }
            print(json.dumps(order), file=self._process.stdin, flush=True)
            code = int(self._process.stdout.readline())
            out, err = ((Path(place) / name).read_text("utf-8") for name in ("out", "err"))
        return Completed(["sitegen", *arguments], code, out, err)


@cache
def forker() -> Forker:
    """Return the forking process of this test process, which ends with it: its standard input closes."""
    return Forker()


_SERVER = """
import gc, importlib, json, os, pkgutil, signal, sys
import sitegen

for module in pkgutil.walk_packages(sitegen.__path__, "sitegen."):
    if not module.name.endswith("__main__"):
        importlib.import_module(module.name)
from sitegen.commands import main

gc.collect()
gc.freeze()
for line in sys.stdin:
    order = json.loads(line)
    child = os.fork()
    if child == 0:
        for number, path in enumerate(order["outputs"], 1):
            os.dup2(os.open(path, os.O_WRONLY | os.O_CREAT), number)
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        os.environ.clear()
        os.environ.update(order["environment"])
        os.chdir(order["folder"])
        if order["umask"] >= 0:
            os.umask(order["umask"])
        sys.argv = ["sitegen", *order["arguments"]]
        sys.exit(main())
    print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)
"""
