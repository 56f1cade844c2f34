"""Run external programs so that the same version and input give the same output on every machine."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Sequence
from hashlib import sha256
from pathlib import Path

TIMEOUT = 3_600.0
"""Seconds."""


class ProgramError(Exception):
    """An external program is missing or failed; the message says why."""


def run_program(program: str, arguments: Sequence[str | Path]) -> bytes:
    """Return what a program writes to standard output. Raises ProgramError.

    Language, time zone and clock settings are fixed, and nothing else of the environment reaches the program.
    """
    environment = {"PATH": os.environ.get("PATH", ""), "LC_ALL": "C.UTF-8", "TZ": "UTC", "SOURCE_DATE_EPOCH": "0"}
    try:
        done = subprocess.run(
            [program, *map(str, arguments)],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            env=environment,
            timeout=TIMEOUT,
        )
    except (OSError, subprocess.TimeoutExpired) as fault:
        raise ProgramError(f"{program} cannot be run: {fault}") from None
    if done.returncode:
        words = done.stderr.decode("utf-8", "replace").strip().splitlines() or ["it says nothing"]
        raise ProgramError(f"{program} ended with status {done.returncode}: {words[-1]}")
    return done.stdout


def digest_of_version(program: str, argument: str) -> str:
    """Return the digest of the version that a program prints, or a word if there is no such program."""
    if shutil.which(program) is None:
        return "missing"
    try:
        return sha256(run_program(program, [argument])).hexdigest()
    except ProgramError:
        return "cannot be run"
