"""The nginx settings of `.docs/hosting.md`, unchanged, in a real nginx with Debian's own table of kinds."""

from __future__ import annotations

import http.client
import itertools
import re
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from sitegen.publishing.publication import Published, publish
from tests.hosts import Command, Host, documented_settings, free_port, running
from tests.machine import find_program
from tests.publishing.sites import TODAY, a_site

KINDS = Path("/etc/nginx/mime.types")


@contextmanager
def nginx_host(site: Path, folder: Path) -> Iterator[Host]:
    """Serve a site with the documented settings; only place, port and `folder` for temporary files are ours."""
    port = free_port()
    server = documented_settings("nginx").replace("listen 80;", f"listen 127.0.0.1:{port};")
    server = server.replace("root /srv/ferrow-lane;", f"root {site};")
    kinds = ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    temporary = "\n".join(f"{kind}_temp_path {folder / kind};" for kind in kinds)
    # One process, as whoever runs the tests: it reads what they can read, and ends with them.
    (folder / "nginx.conf").write_text(
        f"daemon off; master_process off; pid {folder / 'pid'}; error_log {folder / 'faults'};\n"
        f"events {{}}\nhttp {{\ninclude {KINDS};\naccess_log off;\n{temporary}\n{server}}}\n"
    )
    faults = folder / "faults"
    command: Command = [find_program("nginx"), "-p", folder, "-e", faults, "-c", folder / "nginx.conf"]
    with running(command, port, faults) as host:
        yield host


MOST_ASKED = 200_000
"""An asker stops by itself after so many, whoever forgets to end it."""


class Asked:
    """What came of asking a host for some pages, over and over."""

    def __init__(self) -> None:
        self.count = 0
        self.wrong: list[str] = []
        self.is_over = False
        self._told = threading.Condition()

    def ask(self, host: Host, paths: Sequence[str]) -> None:
        """Ask until it is over: each answer is to be good and whole, and each page to be of one version."""
        for path in itertools.islice(itertools.cycle(paths), MOST_ASKED):
            if self.is_over:
                return
            try:
                status, headers, body = host.ask(path)
                is_whole = len(body) == int(headers["content-length"]) and re.fullmatch(BODY, body)
                fault = "" if status == 200 and is_whole else f"{path}: {status}, {body[:80]!r}"
            except (OSError, http.client.HTTPException) as trouble:
                fault = f"{path}: {trouble!r}"
            with self._told:
                self.count += 1
                self.wrong += [fault] if fault else []
                self._told.notify_all()

    def at_least(self, more: int) -> None:
        """Return once so many more have been answered, or failed."""
        with self._told:
            wanted = self.count + more
            self._told.wait_for(lambda: self.count >= wanted, timeout=60)


@contextmanager
def asking(host: Host, paths: Sequence[str], askers: int = 2) -> Iterator[Asked]:
    """Ask a host on loopback for some pages from several threads, until the end of the block."""
    asked = Asked()
    threads = [threading.Thread(target=asked.ask, args=(host, paths)) for _ in range(askers)]
    for thread in threads:
        thread.start()
    try:
        yield asked
    finally:
        asked.is_over = True
        for thread in threads:
            thread.join()


BODY = rb"v\d+|<link href=\"/assets/style-v(\d+)\.css\"><p>version v\1</p>(<a href=[^>]+>[^<]+</a>)+"


def publish_version(to: Path, version: int) -> None:
    """Publish one version of a small site, whose style lasts."""
    site = a_site(f"v{version}", range(1, 40))
    style = f"assets/style-v{version}.css"
    done = publish(replace(site, lasting=frozenset({style})), to, TODAY)
    assert isinstance(done, Published), done
