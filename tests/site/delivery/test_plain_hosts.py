"""Hosts of general use beside nginx: without settings, and with the documented ones, each in the real server.

Outside sources: Python's http.server, Apache and lighttpd as Debian has them; RFC 9110 (15.4.2, 301; 15.5.5, 404),
RFC 9111 (5.2.2).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from tests.conftest import serve
from tests.hosts import Host, one_of_each_kind
from tests.plain_hosts import apache_host, lighttpd_host


@pytest.fixture(scope="module", params=["http.server", "apache", "lighttpd"])
def host(
    request: pytest.FixtureRequest, demo_site_built: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Host]:
    if request.param == "http.server":
        with serve(demo_site_built) as address:
            yield Host(urlsplit(address).port or 0)
        return
    served = {"apache": apache_host, "lighttpd": lighttpd_host}[request.param]
    with served(demo_site_built, tmp_path_factory.mktemp(request.param)) as host:
        yield host


def test_folders_serve_their_index_and_missing_files_are_404(host: Host, demo_site_built: Path):
    for at in ("", "es/", "vehicles/K102/", "es/vehicles/K102/", "browse/body-suv/"):
        status, headers, page = host.ask(f"/{at}")
        assert (status, page) == (200, (demo_site_built / at / "index.html").read_bytes()), at
        assert headers["content-type"].startswith("text/html"), at
    status, headers, _ = host.ask("/vehicles/K102")
    assert status == 301
    assert urlsplit(headers["location"]).path == "/vehicles/K102/"
    assert host.ask("/vehicles/K999/")[0] == 404


def test_with_the_documented_settings_a_host_keeps_lasting_files_and_shows_the_page_for_what_is_not_there(
    host: Host, demo_site_built: Path, request: pytest.FixtureRequest
):
    if request.node.callspec.params["host"] == "http.server":
        return  # it takes no settings
    status, headers, page = host.ask("/vehicles/K999/")
    assert (status, page) == (404, (demo_site_built / "404.html").read_bytes())
    assert headers["x-content-type-options"] == "nosniff"
    assert host.ask("/.sitegen")[0] in (403, 404)
    expected = {
        ".html": "text/html", ".css": "text/css", ".csv": "text/csv", ".vtt": "text/vtt", ".avif": "image/avif",
        ".js": "text/javascript", ".jpg": "image/jpeg", ".woff2": "font/woff2",
        ".mp4": "video/mp4", ".json": "application/json",
    }  # fmt: skip
    for suffix, at, lasting in one_of_each_kind(demo_site_built, expected.keys()):
        status, headers, _ = host.ask(f"/{at}")
        assert status == 200, at
        kind, _, charset = headers["content-type"].partition(";")
        assert kind.replace("application/javascript", "text/javascript") == expected[suffix], at
        assert suffix != ".csv" or charset.strip() == "charset=utf-8", "a spreadsheet cannot know it otherwise"
        assert headers["cache-control"] == ("max-age=31536000" if lasting else "no-cache"), at
        assert headers["x-content-type-options"] == "nosniff", at
    _, headers, small = host.ask("/vehicles/K102/", Accept_Encoding="gzip")
    assert headers["content-encoding"] == "gzip"
    assert len(small) < (demo_site_built / "vehicles/K102/index.html").stat().st_size / 3
