"""`sitegen preview` with a real browser: a change in a file shows on the open page, a mistake shows as a banner."""

from __future__ import annotations

import http.client
import os
import re
import shutil
import signal
import socket
import struct
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
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
    built: Path | None = None

    def wait_for_first_build(self) -> None:
        """Wait as a page does that was opened before there was anything to see."""
        version = re.search(rb'data-version="([^"]+)"', self.answer("/index.html").read())[1].decode()
        if version.endswith("-0"):
            assert b"data: changed" in self.answer(f"/.preview/changes?{version}").read()

    def answer(self, path: str, host: str | None = None, method: str = "GET") -> http.client.HTTPResponse:
        """Ask for a path, by another name if one is given."""
        parts = urlsplit(self.address)
        connection = http.client.HTTPConnection(parts.hostname, parts.port)
        connection.request(method, path, headers={"Host": host or parts.netloc})
        return connection.getresponse()


@contextmanager
def previewing(store: Path, *options: str) -> Iterator[Running]:
    """Start a preview on any free port; yield it when its first build is over."""
    command = [sys.executable, "-m", "sitegen", "preview", str(store), "--port", "0", *options]
    how: dict[str, Any] = {"cwd": REPOSITORY, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
    with subprocess.Popen(command, start_new_session=True, **how) as process:
        try:
            first = process.stdout.readline()
            assert first.startswith("Open http://127.0.0.1:"), process.stderr.read()
            running = Running(process, first.split()[1])
            running.wait_for_first_build()
            yield running
        finally:  # what fails would else wait for the preview, for ever
            if process.poll() is None:
                os.killpg(process.pid, signal.SIGKILL)


@pytest.fixture
def running(store: Path) -> Iterator[Running]:
    """A preview of a store that the test may change."""
    with previewing(store) as started:
        yield started


@pytest.fixture(scope="module")
def steady(built_store: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """A preview of a store that stays as it is."""
    folder = tmp_path_factory.mktemp("steady") / "store"
    with previewing(shutil.copytree(built_store, folder, ignore=shutil.ignore_patterns("published"))) as started:
        started.built = folder / ".cache" / "preview"
        yield started


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


def test_the_preview_opens_a_page_that_did_not_exist_before(running, open_page, store):
    """The open page is the preview's own: the host says 404, as any host would."""
    page = open_page(f"{running.address}directions/")
    expect(page.locator("body")).to_contain_text("There is no page here")
    (store / "pages" / "directions.md").write_text("# How to find us\n\nFollow the lane.\n", "utf-8")
    expect(page.locator("h1")).to_have_text("How to find us", timeout=20_000)


def test_a_store_with_mistakes_from_the_start_is_served_too(store, edit, open_page):
    edit(K900, "price: 13450", "price: cheap")
    with previewing(store) as running:
        page = open_page(running.address)
        expect(page.get_by_role("alert")).to_contain_text(f"{K900}:")
        edit(K900, "price: cheap", "price: 13450")
        expect(page.locator("main")).to_contain_text("Brevik Fjordline", timeout=20_000)


def test_published_files_contain_nothing_of_the_preview(running, store):
    assert "/.preview/reload.js" in running.answer("/index.html").read().decode()
    assert not (store / "published").exists()
    assert main(["build", str(store)]) == 0
    for file in [*(store / "published").rglob("*.html"), *(store / ".cache" / "preview").rglob("*.html")]:
        assert ".preview" not in file.read_text("utf-8"), file


def test_the_component_page_shows_what_the_store_overrides_and_is_never_published(store, open_page):
    override = store / "theme" / "components" / "ruler" / "examples.yaml"
    override.parent.mkdir(parents=True)
    ruler = "{words: As we draw it, lowest: 4, others: [], limit: 2, full_scale: 10, numbered_every: 2}"
    takes = "takes: {ruler: sitegen.pages.vehicle.measured.rulers.Ruler}"
    override.write_text(f"{takes}\nruler_drawing:\n  Our own:\n    ruler: {ruler}\n", "utf-8")
    with previewing(store, "--components") as running:
        page = open_page(running.address)
        assert urlsplit(running.address).path == "/_components/"
        frame = page.frame_locator("#ruler iframe")
        expect(frame.get_by_role("img", name="As we draw it")).to_be_visible()
        page.get_by_role("link", name="wheel_card: Not measured").click()
        expect(page.locator(".wheel")).to_contain_text("not measured")
    assert main(["build", str(store)]) == 0
    assert not (store / "published" / "_components").exists()


def test_only_this_computer_is_answered(steady):
    """Another address of the same computer is not listened on; another name for it (DNS rebinding) is refused."""
    parts = urlsplit(steady.address)
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.2", parts.port))
    assert steady.answer("/index.html", host="elsewhere.example").status == 403
    assert steady.answer("/index.html", host=f"localhost:{parts.port}").status == 200
    for path in ("/index.html", next(steady.built.rglob("*.css")).relative_to(steady.built).as_posix()):
        assert steady.answer(f"/{path}", host="elsewhere.example", method="HEAD").status == 403


def test_head_is_answered_like_get_without_a_body(steady):
    """RFC 9110, 9.3.2: the same header fields, and no content."""
    style = next(steady.built.rglob("*.css")).relative_to(steady.built).as_posix()
    for path in ("/index.html", f"/{style}", "/nothing/here.html", "/vehicles/"):
        got, head = steady.answer(path), steady.answer(path, method="HEAD")
        assert head.status == got.status
        assert head.headers["Content-Length"] == got.headers["Content-Length"]
        assert head.read() == b""


def test_a_symbolic_link_out_of_the_folder_is_not_followed(steady, tmp_path):
    (tmp_path / "private.txt").write_text("a secret", "utf-8")
    (tmp_path / "private.html").write_text("a secret", "utf-8")
    for name, target in {
        "leads-out.txt": tmp_path / "private.txt",
        "leads-out.html": tmp_path / "private.html",
        "leads-out": tmp_path,
    }.items():
        (steady.built / name).symlink_to(target)
    try:
        for path in ("/leads-out.txt", "/leads-out.html", "/leads-out/private.txt", "/leads-out/private.html"):
            answer = steady.answer(path)
            assert answer.status == 404, path
            assert b"a secret" not in answer.read()
    finally:
        for name in ("leads-out.txt", "leads-out.html", "leads-out"):
            (steady.built / name).unlink()


def test_a_client_that_disconnects_leaves_no_traceback(running):
    """A reset (RFC 9293, 3.10.4: a linger of zero) reaches the server while it waits for the rest of a request."""
    parts = urlsplit(running.address)
    for _ in range(5):
        connection = socket.create_connection((parts.hostname, parts.port))
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        connection.sendall(b"GET /index.html HTTP/1.0\r\nHost: local")
        connection.close()
    assert running.answer("/index.html").status == 200
    os.killpg(running.process.pid, signal.SIGINT)
    _, told = running.process.communicate()
    assert "Traceback" not in told
    assert "Exception" not in told


def test_content_types_are_correct_and_nothing_is_cached(steady):
    """Media types: IANA registry; text/javascript by RFC 9239, image/avif by the AVIF specification."""
    built = steady.built
    wanted = {
        ".html": "text/html",
        ".css": "text/css",
        ".avif": "image/avif",
        ".jpg": "image/jpeg",
    }
    for ending, kind in wanted.items():
        path = next(built.rglob(f"*{ending}")).relative_to(built).as_posix()
        answer = steady.answer(f"/{path}")
        assert answer.status == 200
        assert answer.headers.get_content_type() == kind
        assert answer.headers["Cache-Control"] == "no-store"


def test_a_folder_without_a_slash_redirects_and_a_missing_file_is_404(steady):
    answer = steady.answer("/vehicles/K900")
    assert (answer.status, answer.headers["Location"]) == (301, "/vehicles/K900/")
    assert steady.answer("/nothing/here.html").status == 404
    assert steady.answer("/../site.yaml").status == 404
    assert steady.answer("/%2e%2e/%2e%2e/site.yaml").status == 404


def test_ctrl_c_ends_a_preview_with_exit_code_0(running):
    os.killpg(running.process.pid, signal.SIGINT)
    _, told = running.process.communicate()
    assert running.process.returncode == 0
    assert "Traceback" not in told


def test_a_port_in_use_is_reported(steady, store, capsys):
    port = str(urlsplit(steady.address).port)
    assert main(["preview", str(store), "--port", port]) == 1
    assert (
        f"cannot serve on port {port} (Address already in use); name another with --port" in capsys.readouterr().err
    )
