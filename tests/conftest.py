"""Shared fixtures: the demo store, built once for all workers; a server; a browser. No network but loopback."""

from __future__ import annotations

import fcntl
import os
import shutil
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from datetime import date, datetime, time
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO, TextIOWrapper
from pathlib import Path
from types import MappingProxyType
from typing import Any
from unittest.mock import patch
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Request, expect, sync_playwright
from xdist.scheduler import LoadScopeScheduling  # type: ignore[import-untyped]

from sitegen.commands import main
from tests.machine import find_browser

# A shell starts what runs in the background deaf to Ctrl-C, and so is every program started from there.
# What the tests start must hear it, or those that press it wait for good.
signal.signal(signal.SIGINT, signal.default_int_handler)

REPOSITORY = Path(__file__).resolve().parent.parent
DEMO_DAY = "1795262400"
"""2026-11-21 12:00 UTC: the demo store is always built as on this day, so that what is stale does not move."""

SUB_PATH = "lots/ferrow-lane"

BROWSER_ARGUMENTS = (
    *("--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu", "--disable-background-networking"),
    # Each window would also load two pages of the browser's own, for suggestions under its address bar.
    "--disable-features=WebUIOmniboxAimPopup,WebUIOmniboxFullPopup,WebUIOmniboxPopup,PreloadTopChromeWebUI",
)

expect.set_options(timeout=30_000)  # milliseconds: a machine that runs every test at once may be slow


TOGETHER = (
    *("tests/commands/test_ledger.py", "tests/commands/test_preview.py", "tests/ledger/", "tests/site/bay/"),
    *("tests/site/access/test_long_words.py", "tests/site/desk/", "tests/site/gallery/", "tests/site/inventory/"),
    *(
        "tests/film/test_matrix.py",
        "tests/site/print/test_bay_sheet.py",
        "tests/test_cluster.py",
        "tests/engine/test_far_workers.py",
    ),
)
"""Files and folders whose tests share a store or a cluster that is costly to make."""


class StoresBuiltOnce(LoadScopeScheduling):  # type: ignore[misc]
    """Gives all tests of such a place to one worker, which builds their store once; any other test to who is free."""

    def _split_scope(self, nodeid: str) -> str:
        return next((place for place in TOGETHER if nodeid.startswith(place)), nodeid)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> StoresBuiltOnce:
    return StoresBuiltOnce(config, log)


SLOW = {"browser", "demo_store"}
"""Fixtures that make a test slow: it starts a browser, or needs the demo store built."""


def pytest_configure(config: pytest.Config) -> None:
    """Name the marker; and keep compiled modules, or each of the many processes would compile them all again."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    sys.dont_write_bytecode = False
    config.addinivalue_line("markers", "slow: needs a browser, the built demo store, or many seconds")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark slow tests. Run a test that failed in a browser once more: a fault of ours fails twice.

    The summary names each test that ran again, so that an unsteady test is seen and mended.
    """
    for item in items:
        fixtures = set(getattr(item, "fixturenames", ()))
        if fixtures & SLOW:
            item.add_marker(pytest.mark.slow)
        if "browser" in fixtures:
            item.add_marker(pytest.mark.flaky(reruns=1))


def run_sitegen(*arguments: str | Path, env: Mapping[str, str] | None = None) -> subprocess.CompletedProcess[str]:
    """Run the command on the demo's day, in this process: that saves starting Python and its workers' imports."""
    told, wrong = (TextIOWrapper(BytesIO(), "utf-8", newline="\n") for _ in range(2))
    environment = {"SOURCE_DATE_EPOCH": DEMO_DAY, **(env or {})}
    command = [*map(str, arguments)]
    with patch.dict(os.environ, environment), redirect_stdout(told), redirect_stderr(wrong):
        status = main(command)
    texts = []
    for stream in (told, wrong):
        stream.seek(0)
        texts.append(stream.read())
    return subprocess.CompletedProcess(command, status, *texts)


def run_sitegen_apart(*arguments: str | Path, **options: Any) -> subprocess.CompletedProcess[str]:
    """Run the command on the demo's day in a process of its own, for tests of what a process has for itself."""
    environment = {**os.environ, "SOURCE_DATE_EPOCH": DEMO_DAY, **options.pop("env", {})}
    command = [sys.executable, "-m", "sitegen", *map(str, arguments)]
    options = {"cwd": REPOSITORY, **options}
    return subprocess.run(command, env=environment, capture_output=True, text=True, **options)


@contextmanager
def serve(
    folder: Path, headers: Mapping[str, str] = MappingProxyType({}), kinds: Mapping[str, str] | None = None
) -> Iterator[str]:
    """Serve a folder on loopback as any static host would; yield its address, without a slash at the end.

    `kinds` are the media types that the host knows, by suffix; what it does not know are bytes of no kind.
    """

    class Quiet(SimpleHTTPRequestHandler):
        def log_message(self, *_: object) -> None: ...

        def guess_type(self, path: Any) -> str:
            if kinds is None:
                return super().guess_type(path)
            return kinds.get(Path(path).suffix, "application/octet-stream")

        def end_headers(self) -> None:
            for name, value in headers.items():
                self.send_header(name, value)
            super().end_headers()

    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(folder)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()
    thread.join()


@pytest.fixture(scope="session")
def demo_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo store that the real command has built, once for all workers. To be read only.

    Pictures made in an earlier run are known by their photo and recipe, and are not made again.
    """
    shared = tmp_path_factory.getbasetemp()
    shared = shared.parent if "PYTEST_XDIST_WORKER" in os.environ else shared
    store, done = shared / "demo", shared / "demo-built"
    kept = REPOSITORY / ".pytest_cache" / "d" / "demo-pictures"  # where pytest keeps what a run may need again
    kept.mkdir(parents=True, exist_ok=True)
    with (shared / "demo-lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not done.exists():
            shutil.rmtree(store, ignore_errors=True)
            ignored = shutil.ignore_patterns("published", ".cache", "ledger.jsonl", "revisions")
            shutil.copytree(REPOSITORY / "demo_site", store, ignore=ignored)
            shutil.copytree(kept, store / ".cache")
            built = run_sitegen("build", store)
            assert built.returncode == 0, built.stderr
            shutil.copytree(store / ".cache", kept, dirs_exist_ok=True)
            done.write_text(built.stdout)
    return store


@pytest.fixture(scope="session")
def demo_site_built(demo_store: Path) -> Path:
    """The published folder of the demo store."""
    return demo_store / "published"


@pytest.fixture(scope="session")
def site_at_root(demo_site_built: Path) -> Iterator[str]:
    """Address of the demo site at the root of a host."""
    with serve(demo_site_built) as address:
        yield address


@pytest.fixture(scope="session")
def site_address(demo_site_built: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of the demo site under a sub-path of a host."""
    host = tmp_path_factory.mktemp("host")
    place = host / SUB_PATH
    place.parent.mkdir(parents=True)
    place.symlink_to(demo_site_built)
    with serve(host) as address:
        yield f"{address}/{SUB_PATH}"


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Headless Chromium as the machine has it. Where there is none the tests fail: they are never skipped."""
    path = find_browser()
    assert path, "Chromium is not on this machine; `python3 -m tests` says how to get it"
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=BROWSER_ARGUMENTS)
        yield started
        started.close()


OpenPage = Callable[..., Page]


@pytest.fixture
def open_page(browser: Browser) -> Iterator[OpenPage]:
    """Open an address in a fresh page: `open_page(address, width=390, scheme="dark")`; on another `day`, if wished.

    A request to anything but loopback or a file, or an error in a script, fails the test.
    """
    contexts: list[BrowserContext] = []
    elsewhere: list[str] = []
    faults: list[str] = []

    def note(request: Request) -> None:
        address = urlsplit(request.url)
        if address.scheme in ("http", "https", "ws", "wss") and address.hostname != "127.0.0.1":
            elsewhere.append(request.url)

    def open_it(
        address: str,
        width: int = 1280,
        height: int = 800,
        scheme: Any = "light",
        day: date | None = None,
        **options: Any,
    ) -> Page:
        viewport: Any = {"width": width, "height": height}
        context = browser.new_context(viewport=viewport, color_scheme=scheme, **options)
        contexts.append(context)
        context.on("request", note)
        context.on("weberror", lambda fault: faults.append(str(fault.error)))
        if day is not None:
            context.clock.set_fixed_time(datetime.combine(day, time(12)))
        page = context.new_page()
        page.goto(address)
        return page

    yield open_it
    for context in contexts:
        context.close()
    assert not elsewhere, "a page asked another host for something"
    assert not faults, "a script failed"
