"""A program that builds a store whose record is edited one look later each time, and then builds it again.

`python -m tests.commands.edited_meanwhile STORE BASE` makes BASE/0, BASE/1 ... until a build looks less often.
A look is an opening of the record, as the interpreter reports it to its audit hooks (PEP 578); the edit is done just
before, and keeps the number of bytes. After the first build `published` is copied to `first`.
"""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

from sitegen.commands import main

RECORD = "vehicles/K900/inspection.yaml"
OLD, NEW = b"price: 13450", b"price: 12990"


def build_twice(store: Path, look: int) -> bool:
    """Build a store, have its record edited at the given look, and build it again. Return whether it came to that."""
    file, seen, at_work = store / RECORD, 0, False

    def hook(event: str, arguments: tuple[object, ...]) -> None:
        nonlocal seen, at_work
        if event != "open" or at_work or str(arguments[0]) != str(file):
            return
        seen += 1
        if seen == look + 1:
            at_work = True
            file.write_bytes(file.read_bytes().replace(OLD, NEW))
            at_work = False

    sys.addaudithook(hook)
    assert main(["build", str(store), "--jobs", "1"]) == 0
    is_edited = seen > look
    at_work = True
    file.write_bytes(file.read_bytes().replace(OLD, NEW))
    shutil.copytree(store / "published", store / "first")
    assert main(["build", str(store), "--jobs", "1"]) == 0
    return is_edited


def run(origin: Path, base: Path) -> None:
    """Go one look further until the build is done before it."""
    look, is_edited = 0, True
    while is_edited:
        store = shutil.copytree(origin, base / str(look))
        child = os.fork()
        if not child:
            os._exit(10 + build_twice(store, look))
        ending = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        assert ending in (10, 11), ending
        is_edited = ending == 11
        look += 1


if __name__ == "__main__":
    run(Path(sys.argv[1]), Path(sys.argv[2]))
