"""The README's settings for a host, as they stand there, in a real nginx with Debian's own table of kinds."""

from __future__ import annotations

import http.client
import re
import socket
import subprocess
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.conftest import REPOSITORY
from tests.machine import find_program

KINDS = Path("/etc/nginx/mime.types")


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


@contextmanager
def nginx_host(site: Path, folder: Path) -> Iterator[Host]:
    """Serve a site by the settings of the README; only place, port and `folder` for temporary files are ours."""
    program = find_program("nginx")
    assert program is not None
    settings = re.search(r"^```nginx\n(.*?)^```", (REPOSITORY / "README.md").read_text("utf-8"), re.M | re.S)
    assert settings is not None
    listening = socket.socket()
    listening.bind(("127.0.0.1", 0))
    port = listening.getsockname()[1]
    server = settings[1].replace("listen 80;", f"listen 127.0.0.1:{port};")
    server = server.replace("root /srv/ferrow-lane;", f"root {site};")
    kinds = ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    temporary = "\n".join(f"{kind}_temp_path {folder / kind};" for kind in kinds)
    # One process, as whoever runs the tests: it reads what they can read, and ends with them.
    (folder / "nginx.conf").write_text(
        f"daemon off; master_process off; pid {folder / 'pid'}; error_log {folder / 'faults'};\n"
        f"events {{}}\nhttp {{\ninclude {KINDS};\naccess_log off;\n{temporary}\n{server}}}\n"
    )
    listening.close()
    faults = folder / "faults"
    running = subprocess.Popen(
        [program, "-p", folder, "-e", faults, "-c", folder / "nginx.conf"], stderr=subprocess.PIPE, text=True
    )
    try:
        wait_until_it_answers(port, running, faults)
        yield Host(port)
    finally:
        running.terminate()
        running.communicate()


def wait_until_it_answers(port: int, running: subprocess.Popen[str], faults: Path) -> None:
    """Return once a host takes connections; fail with its faults where it ended."""
    while True:
        assert running.poll() is None, faults.read_text() if faults.exists() else "it ended"
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
            return
        except ConnectionRefusedError:
            continue
