"""The site on a host as it is installed: its own table of kinds, and browsers told not to guess.

Source: conf/mime.types of nginx 1.22.1 in Debian 12, untouched; what it does not list goes out as bytes of no kind.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.conftest import serve

NGINX = {
    ".html": "text/html", ".css": "text/css", ".xml": "text/xml", ".jpg": "image/jpeg",
    ".js": "application/javascript", ".txt": "text/plain", ".avif": "image/avif", ".svg": "image/svg+xml",
    ".webp": "image/webp", ".woff2": "font/woff2", ".json": "application/json", ".mp4": "video/mp4",
    ".webm": "video/webm",
}  # fmt: skip
"""The kinds of files that we publish and it knows."""
OF_NO_KIND = {".csv", ".vtt"}
"""Not in its table: a table to download, and captions, which browsers read whatever they are called."""


@pytest.fixture
def host(demo_site_built: Path) -> Iterator[str]:
    with serve(demo_site_built, {"X-Content-Type-Options": "nosniff"}, NGINX) as address:
        yield address


def test_no_file_is_of_a_kind_that_the_host_does_not_know(demo_site_built: Path):
    kinds = {path.suffix for path in demo_site_built.rglob("*") if path.is_file() and path.name != ".sitegen"}
    assert kinds <= NGINX.keys() | OF_NO_KIND


def test_scripts_work_on_a_host_as_it_is_installed(open_page, host: str):
    page = open_page(f"{host}/vehicles/K102/index.html")
    expect(page.locator(".outlook-form")).to_be_visible()
    listed = open_page(f"{host}/index.html")
    expect(listed.locator(".filters, .inventory-filters").first).to_be_visible()
    kept = listed.evaluate("document.querySelectorAll('script[type=module]').length")
    assert kept
