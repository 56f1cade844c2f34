"""The site on a host with default settings: its own content types, and browsers told not to guess."""

from __future__ import annotations

import shutil
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


def test_every_published_file_has_a_content_type_on_a_default_host(demo_site_built: Path):
    kinds = {path.suffix for path in demo_site_built.rglob("*") if path.is_file() and path.name != ".sitegen"}
    assert kinds <= NGINX.keys() | OF_NO_KIND


def test_scripts_work_on_a_host_as_it_is_installed(open_page, host: str):
    page = open_page(f"{host}/vehicles/K102/index.html")
    expect(page.locator(".outlook-form")).to_be_visible()
    listed = open_page(f"{host}/index.html")
    expect(listed.locator(".filters, .inventory-filters").first).to_be_visible()


def test_scripts_work_in_a_page_opened_from_a_folder(open_page, demo_site_built: Path):
    """What runs at once, what is loaded later (the outlook's arithmetic, the viewer), and the rows of the list."""
    page = open_page((demo_site_built / "vehicles" / "K102" / "index.html").as_uri())
    costs = page.locator(".outlook-plan")
    before = costs.inner_text()
    page.locator(".outlook-number").fill("30000")
    expect(costs).not_to_have_text(before, use_inner_text=True)
    page.locator(".photo-link:visible").first.click()
    expect(page.locator("dialog.viewer")).to_be_visible()

    compared = open_page((demo_site_built / "compare" / "index.html").as_uri() + "?vehicles=K101,K102")
    expect(compared.locator(".comparison-needs-host")).to_be_visible()
    expect(compared.locator(".comparison-empty")).to_be_hidden()

    listed = open_page((demo_site_built / "index.html").as_uri() + "?body=minivan")
    expect(listed.locator(".vehicle-card")).to_have_count(1)


def test_a_list_whose_row_files_are_gone_reloads(open_page, demo_site_built: Path, tmp_path: Path):
    """A tab was open while the store published other rows: the first wish gets the newest list, and is kept."""
    site = shutil.copytree(demo_site_built, tmp_path / "site")
    with serve(site) as address:
        page = open_page(f"{address}/index.html")
        index = site / "index.html"
        for old in sorted((site / "inventory").glob("*.js")):
            new = old.with_name("0123456789ab.js" if old.name in index.read_text() else "ba9876543210.js")
            index.write_text(index.read_text().replace(old.name, new.name))
            old.rename(new).write_text(new.read_text().replace(old.name, new.name))
        page.locator("select[name=body]").select_option("minivan")
        expect(page.locator(".vehicle-card")).to_have_count(1)
        assert page.url.endswith("?body=minivan")
