"""The Apache and lighttpd settings of `.docs/hosting.md`, unchanged, in the real servers as Debian has them."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.hosts import Command, Host, documented_settings, free_port, running
from tests.machine import find_program

MODULES = ("mpm_event", "authz_core", "mime", "dir", "alias", "setenvif", "headers", "filter", "deflate")


@contextmanager
def apache_host(site: Path, folder: Path) -> Iterator[Host]:
    """Serve a site by the settings for Apache; only place and port are ours. `folder` is for its own files."""
    port = free_port()
    modules = "\n".join(f"LoadModule {name}_module /usr/lib/apache2/modules/mod_{name}.so" for name in MODULES)
    settings = (
        f'{modules}\nServerName localhost\nListen 127.0.0.1:{port}\nPidFile "{folder}/apache.pid"\n'
        f'ErrorLog "{folder}/apache-faults"\nDefaultRuntimeDir "{folder}"\nTypesConfig /etc/mime.types\n'
        f'DocumentRoot "{site}"\n<Directory "{site}">\n{_settings("apache", site)}</Directory>\n'
    )
    (folder / "apache.conf").write_text(settings)
    command: Command = [find_program("apache2"), "-X", "-d", folder, "-f", folder / "apache.conf"]
    with running(command, port, folder / "apache-faults") as host:
        yield host


@contextmanager
def lighttpd_host(site: Path, folder: Path) -> Iterator[Host]:
    """Serve a site by the settings for lighttpd."""
    port = free_port()
    settings = (
        'server.modules = ("mod_indexfile", "mod_access")\nindex-file.names = ("index.html")\n'
        f'server.port = {port}\nserver.bind = "127.0.0.1"\nserver.errorlog = "{folder}/lighttpd-faults"\n'
        f'server.document-root = "{folder}"\ninclude_shell "/usr/share/lighttpd/create-mime.conf.pl"\n'
        f"{_settings('lighttpd', site).replace('www.ferrow-lane.example', f'127.0.0.1:{port}')}"
    )
    (folder / "lighttpd.conf").write_text(settings)
    command: Command = [find_program("lighttpd"), "-D", "-f", folder / "lighttpd.conf"]
    with running(command, port, folder / "lighttpd-faults") as host:
        yield host


def _settings(language: str, site: Path) -> str:
    return documented_settings(language).replace("/srv/ferrow-lane", str(site))
