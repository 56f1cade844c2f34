"""`sitegen preview` with a real browser: a change in a file shows on the open page, a mistake shows as a banner."""

from __future__ import annotations

import http.client
import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import expect

from sitegen.commands import main
from tests.conftest import REPOSITORY

K900 = "vehicles/K900/inspection.yaml"


@dataclass
class Running:
    """A preview at work: its process and the address that it told."""

    process: subprocess.Popen[str]
    address: str

    def answer(self, path: str, host: str | None = None) -> http.client.HTTPResponse:
        """Ask for a path, by another name if one is given."""
        parts = urlsplit(self.address)
        connection = http.client.HTTPConnection(parts.hostname, parts.port)
        connection.request("GET", path, headers={"Host": host or parts.netloc})
        return connection.getresponse()


@pytest.fixture
def running(store) -> Iterator[Running]:
    command = [sys.executable, "-m", "sitegen", "preview", str(store), "--port", "0"]
    options = {"cwd": REPOSITORY, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
    with subprocess.Popen(command, start_new_session=True, **options) as process:
        first = process.stdout.readline()
        assert first.startswith("Open http://127.0.0.1:"), process.stderr.read()
        assert process.stdout.readline().startswith("Ready: ")
        yield Running(process, first.split()[1])
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)


def test_an_open_page_follows_a_change_shows_a_mistake_and_recovers(running, edit, open_page):
    page = open_page(f"{running.address}vehicles/K900/")
    expect(page.locator("main")).to_contain_text("$13,450")

    edit(K900, "price: 13450", "price: 12990")
    expect(page.locator("main")).to_contain_text("$12,990", timeout=20_000)

    line, column = edit(K900, "price: 12990", "price: a bargain")
    banner = page.get_by_role("alert")
    expect(banner).to_contain_text(f"{K900}:{line}:{column + len('price: ')}: ", timeout=20_000)
    expect(page.locator("main")).to_contain_text("$12,990")

    edit(K900, "price: a bargain", "price: 11500")
    expect(page.locator("main")).to_contain_text("$11,500", timeout=20_000)
    expect(banner).to_have_count(0)


def test_a_new_page_appears_where_there_was_none(running, open_page, store):
    """The open page is the preview's own: the host says 404, as any host would."""
    page = open_page(f"{running.address}directions/")
    expect(page.locator("body")).to_contain_text("There is no page here")
    (store / "pages" / "directions.md").write_text("# How to find us\n\nFollow the lane.\n", "utf-8")
    expect(page.locator("h1")).to_have_text("How to find us", timeout=20_000)


def test_a_store_with_mistakes_from_the_start_is_served_too(store, edit, open_page):
    edit(K900, "price: 13450", "price: cheap")
    command = [sys.executable, "-m", "sitegen", "preview", str(store), "--port", "0"]
    options = {"cwd": REPOSITORY, "stdout": subprocess.PIPE, "stderr": subprocess.DEVNULL, "text": True}
    with subprocess.Popen(command, start_new_session=True, **options) as process:
        page = open_page(process.stdout.readline().split()[1])
        expect(page.get_by_role("alert")).to_contain_text(f"{K900}:", timeout=20_000)
        edit(K900, "price: cheap", "price: 13450")
        expect(page.locator("main")).to_contain_text("Brevik Fjordline", timeout=20_000)
        os.killpg(process.pid, signal.SIGKILL)


def test_nothing_of_the_preview_reaches_a_published_site(running, store):
    assert "/.preview/reload.js" in running.answer("/index.html").read().decode()
    assert not (store / "published").exists()
    assert main(["build", str(store)]) == 0
    for file in [*(store / "published").rglob("*.html"), *(store / ".cache" / "preview").rglob("*.html")]:
        assert ".preview" not in file.read_text("utf-8"), file


def test_only_this_computer_is_answered(running):
    """Another address of the same computer is not listened on; another name for it (DNS rebinding) is refused."""
    parts = urlsplit(running.address)
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.2", parts.port))
    assert running.answer("/index.html", host="elsewhere.example").status == 403
    assert running.answer("/index.html", host=f"localhost:{parts.port}").status == 200


def test_types_are_right_and_the_browser_keeps_nothing(running, store):
    """Media types: IANA registry; text/javascript by RFC 9239, image/avif by the AVIF specification."""
    built = store / ".cache" / "preview"
    wanted = {
        ".html": "text/html",
        ".css": "text/css",
        ".avif": "image/avif",
        ".webp": "image/webp",
        ".jpg": "image/jpeg",
    }
    for ending, kind in wanted.items():
        path = next(built.rglob(f"*{ending}")).relative_to(built).as_posix()
        answer = running.answer(f"/{path}")
        assert answer.status == 200
        assert answer.headers.get_content_type() == kind
        assert answer.headers["Cache-Control"] == "no-store"


def test_a_folder_is_reached_without_its_slash_and_what_is_not_there_is_not_found(running):
    answer = running.answer("/vehicles/K900")
    assert (answer.status, answer.headers["Location"]) == (301, "/vehicles/K900/")
    assert running.answer("/nothing/here.html").status == 404
    assert running.answer("/../site.yaml").status == 404
    assert running.answer("/%2e%2e/%2e%2e/site.yaml").status == 404


def test_ctrl_c_is_the_good_end_of_a_preview(running):
    os.killpg(running.process.pid, signal.SIGINT)
    _, told = running.process.communicate()
    assert running.process.returncode == 0
    assert "Traceback" not in told


def test_a_port_in_use_is_told(running, store, capsys):
    port = str(urlsplit(running.address).port)
    assert main(["preview", str(store), "--port", port]) == 1
    assert (
        f"cannot serve on port {port} (Address already in use); name another with --port" in capsys.readouterr().err
    )
