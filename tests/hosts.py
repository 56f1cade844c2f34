"""Start and stop real servers on loopback, with the settings of `.docs/hosting.md`, and request files from them."""

from __future__ import annotations

import http.client
import re
import socket
import subprocess
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.conftest import REPOSITORY

LASTING = ("assets", "pictures", "videos")
"""Folders whose files are named by what they hold, and may be kept for good."""

Command = list[str | Path | None]
"""A program, None where this machine has none, and its arguments."""


@dataclass(frozen=True)
class Host:
    """Asks a host on loopback."""

    port: int

    def ask(self, path: str, **headers: str) -> tuple[int, Mapping[str, str], bytes]:
        """Return status, headers in small letters, and body."""
        asking = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        asking.request("GET", path, headers={name.replace("_", "-"): value for name, value in headers.items()})
        answer = asking.getresponse()
        told = {name.lower(): value for name, value in answer.getheaders()}
        body = answer.read()
        asking.close()
        return answer.status, told, body


def documented_settings(language: str) -> str:
    """Return the settings for a host from `.docs/hosting.md`: the code block of a language."""
    text = (REPOSITORY / ".docs" / "hosting.md").read_text("utf-8")
    found = re.search(rf"^```{language}\n(.*?)^```", text, re.M | re.S)
    assert found is not None
    return found[1]


def free_port() -> int:
    """Return a port of loopback that nobody listens at."""
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        return int(listening.getsockname()[1])


@contextmanager
def running(command: Command, port: int, faults: Path) -> Iterator[Host]:
    """Run a server to the end of the block, once it answers; `faults` is where it writes what went wrong."""
    assert command[0] is not None
    server = subprocess.Popen([str(part) for part in command], stderr=subprocess.PIPE, text=True)
    try:
        wait_until_it_answers(port, server, faults)
        yield Host(port)
    finally:
        server.terminate()
        server.communicate()


def wait_until_it_answers(port: int, running: subprocess.Popen[str], faults: Path) -> None:
    """Return once a host takes connections; fail with its faults where it ended."""
    while True:
        assert running.poll() is None, faults.read_text() if faults.exists() else "it ended"
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
            return
        except ConnectionRefusedError:
            continue


def one_of_each_kind(site: Path, suffixes: Collection[str]) -> Iterator[tuple[str, str, bool]]:
    """Yield suffix and path of one file of each kind in each folder of a site, and whether it may be kept for good.

    Every kind that is asked for is to be there.
    """
    found: dict[tuple[str, str], str] = {}
    for path in sorted(site.rglob("*")):
        if path.suffix in suffixes:
            at = path.relative_to(site).as_posix()
            found.setdefault((path.suffix, at.split("/")[0] if "/" in at else ""), at)
    assert {suffix for suffix, _ in found} == set(suffixes)
    for (suffix, folder), at in found.items():
        yield suffix, at, folder in LASTING
