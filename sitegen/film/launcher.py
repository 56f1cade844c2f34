"""Run one program with limits, so that a hostile file can neither fill the memory nor outlive the build.

Runs as a script (`python -I -S launcher.py MEMORY SECONDS BYTES PROGRAM ...`) and replaces itself by the program. A
process of its own sets the limits, because a function between fork and exec is unsafe beside threads.
"""

from __future__ import annotations

import contextlib
import os
import sys


def main(arguments: list[str]) -> None:
    """Set the limits and become the program. Limits: bytes of memory, seconds of processor, bytes of one file."""
    memory, seconds, file_bytes = map(int, arguments[:3])
    command = arguments[3:]
    with contextlib.suppress(ImportError):  # There is no `resource` on Windows; the timeout of the caller remains.
        import resource

        limits = {resource.RLIMIT_AS: memory, resource.RLIMIT_CPU: seconds, resource.RLIMIT_FSIZE: file_bytes}
        for limit, value in (limits | {resource.RLIMIT_CORE: 0}).items():
            hard = resource.getrlimit(limit)[1]
            value = value if hard == resource.RLIM_INFINITY else min(value, hard)
            resource.setrlimit(limit, (value, value))
    if sys.platform == "linux":
        _end_with_parent()
    os.execv(command[0], command)


def _end_with_parent() -> None:
    """Ask the kernel to kill this process when its parent ends: PR_SET_PDEATHSIG of prctl(2)."""
    import ctypes
    import signal

    ctypes.CDLL(None, use_errno=True).prctl(1, signal.SIGKILL, 0, 0, 0)


if __name__ == "__main__":
    main(sys.argv[1:])
