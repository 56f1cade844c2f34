"""nginx with the documented settings: content types, cache times, and files it must not serve.

Outside sources: RFC 9110 (13.1.2, 304; 14.2, ranges; 15.5.5, 404), RFC 9111 (5.2.2, no-cache and max-age), the fetch
standard (nosniff).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.hosts import Host, one_of_each_kind
from tests.nginx import asking, nginx_host, publish_version


@pytest.fixture(scope="module")
def host(demo_site_built: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Host]:
    with nginx_host(demo_site_built, tmp_path_factory.mktemp("nginx")) as host:
        yield host


def test_every_kind_of_file_has_its_content_type_and_cache_time(host: Host, demo_site_built: Path):
    expected = {
        ".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".csv": "text/csv; charset=utf-8",
        ".vtt": "text/vtt", ".js": "application/javascript; charset=utf-8", ".avif": "image/avif",
        ".jpg": "image/jpeg", ".svg": "image/svg+xml", ".woff2": "font/woff2",
        ".mp4": "video/mp4", ".json": "application/json", ".xml": "text/xml; charset=utf-8",
    }  # fmt: skip
    for suffix, at, lasting in one_of_each_kind(demo_site_built, expected.keys()):
        status, headers, _ = host.ask(f"/{at}")
        assert status == 200, at
        assert headers["content-type"] == expected[suffix], at
        assert headers["cache-control"] == ("max-age=31536000" if lasting else "no-cache"), at
        assert headers["x-content-type-options"] == "nosniff", at


def test_files_are_revalidated_films_support_ranges_and_text_is_compressed(host: Host, demo_site_built: Path):
    status, headers, page = host.ask("/vehicles/K102/")
    assert (status, page) == (200, (demo_site_built / "vehicles/K102/index.html").read_bytes())
    assert host.ask("/vehicles/K102/", If_None_Match=headers["etag"])[0] == 304
    _, headers, small = host.ask("/vehicles/K102/", Accept_Encoding="gzip")
    assert headers["content-encoding"] == "gzip"
    assert "accept-encoding" in headers["vary"].lower()
    assert len(small) < len(page) / 3
    film = next((demo_site_built / "videos").glob("*.mp4"))
    status, headers, part = host.ask(f"/videos/{film.name}", Range="bytes=100-199")
    assert (status, len(part)) == (206, 100)


def test_missing_files_are_404_and_internal_files_are_not_served(host: Host, demo_site_built: Path):
    told = (demo_site_built / "404.html").read_bytes()
    assert (demo_site_built / ".sitegen").is_file()
    for path in ("/vehicles/K999/", "/.sitegen", "/desk/", "/ledger.jsonl", "/.cache/results.sqlite"):
        status, headers, body = host.ask(path)
        assert (status, body) == (404, told), path
        assert headers["x-content-type-options"] == "nosniff"


def test_every_answer_during_publications_is_complete(tmp_path: Path):
    """Two askers at a time, through three publications; what a tab open since before asks for is there too."""
    to = tmp_path / "published"
    publish_version(to, 0)
    with nginx_host(to, tmp_path) as host, asking(host, ("/", "/vehicles/K1/", "/assets/style-v0.css")) as asked:
        for version in range(1, 4):
            publish_version(to, version)
            asked.at_least(20)  # between two publications as within one
    assert asked.wrong == []
