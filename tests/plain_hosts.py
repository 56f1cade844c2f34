"""The README's settings for Apache and lighttpd, as they stand there, in the real servers as Debian has them."""

from __future__ import annotations

import re
import socket
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.conftest import REPOSITORY
from tests.machine import find_program
from tests.nginx import Host, wait_until_it_answers

MODULES = ("mpm_event", "authz_core", "mime", "dir", "alias", "setenvif", "headers", "filter", "deflate")


Command = list[str | Path | None]


@contextmanager
def apache_host(site: Path, folder: Path) -> Iterator[Host]:
    """Serve a site by the settings for Apache; only place and port are ours. `folder` is for its own files."""
    port = _free_port()
    modules = "\n".join(f"LoadModule {name}_module /usr/lib/apache2/modules/mod_{name}.so" for name in MODULES)
    settings = (
        f'{modules}\nServerName localhost\nListen 127.0.0.1:{port}\nPidFile "{folder}/apache.pid"\n'
        f'ErrorLog "{folder}/apache-faults"\nDefaultRuntimeDir "{folder}"\nTypesConfig /etc/mime.types\n'
        f'DocumentRoot "{site}"\n<Directory "{site}">\n{_settings("apache", site)}</Directory>\n'
    )
    (folder / "apache.conf").write_text(settings)
    command: Command = [find_program("apache2"), "-X", "-d", folder, "-f", folder / "apache.conf"]
    with _running(command, port, folder / "apache-faults") as host:
        yield host


@contextmanager
def lighttpd_host(site: Path, folder: Path) -> Iterator[Host]:
    """Serve a site by the settings for lighttpd."""
    port = _free_port()
    settings = (
        'server.modules = ("mod_indexfile", "mod_access")\nindex-file.names = ("index.html")\n'
        f'server.port = {port}\nserver.bind = "127.0.0.1"\nserver.errorlog = "{folder}/lighttpd-faults"\n'
        f'server.document-root = "{folder}"\ninclude_shell "/usr/share/lighttpd/create-mime.conf.pl"\n'
        f"{_settings('lighttpd', site).replace('www.ferrow-lane.example', f'127.0.0.1:{port}')}"
    )
    (folder / "lighttpd.conf").write_text(settings)
    command: Command = [find_program("lighttpd"), "-D", "-f", folder / "lighttpd.conf"]
    with _running(command, port, folder / "lighttpd-faults") as host:
        yield host


def _settings(language: str, site: Path) -> str:
    readme = (REPOSITORY / "README.md").read_text("utf-8")
    found = re.search(rf"^```{language}\n(.*?)^```", readme, re.M | re.S)
    assert found is not None
    return found[1].replace("/srv/ferrow-lane", str(site))


def _free_port() -> int:
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        return int(listening.getsockname()[1])


@contextmanager
def _running(command: Command, port: int, faults: Path) -> Iterator[Host]:
    assert command[0] is not None
    running = subprocess.Popen([str(part) for part in command], stderr=subprocess.PIPE, text=True)
    try:
        wait_until_it_answers(port, running, faults)
        yield Host(port)
    finally:
        running.terminate()
        running.communicate()
