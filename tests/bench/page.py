"""Bench `page`: Lighthouse scores of the demo store's pages, their weight, and the load of a first view."""

from __future__ import annotations

import argparse
import json
import os
import shutil
import subprocess
import tempfile
from collections import defaultdict
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import Browser, Request, ViewportSize, sync_playwright

from tests.__main__ import once
from tests.bench.hosting import compressed, serve_compressed
from tests.conftest import BROWSER_ARGUMENTS, REPOSITORY, run_sitegen_apart
from tests.machine import find_browser

LIGHTHOUSE = Path(__file__).parent / "lighthouse"
AUDITED = (
    "index.html",
    "vehicles/K102/index.html",
    "vehicles/K104/index.html",
    "es/vehicles/K102/index.html",
)
CATEGORIES = ("performance", "accessibility", "best-practices", "seo")
METRICS = ("first-contentful-paint", "largest-contentful-paint", "total-blocking-time", "cumulative-layout-shift")
RUNS = 3
PHONE: ViewportSize = {"width": 390, "height": 844}
DENSITIES = (1, 2, 3)


def run(_: argparse.Namespace) -> None:
    """Print all tables for the demo store, built anew. Pictures that were made before are not made again."""
    install_lighthouse()
    with tempfile.TemporaryDirectory() as folder:
        store = Path(folder) / "store"
        shutil.copytree(REPOSITORY / "demo_site", store, ignore=shutil.ignore_patterns("published", ".cache"))
        built = run_sitegen_apart("build", store)
        assert built.returncode == 0, built.stderr
        with serve_compressed(store / "published") as address:
            print_weights(store / "published", address)
            print_lighthouse(address)


def install_lighthouse() -> None:
    """Install exactly the locked versions, unless that has been done. No install script is run."""
    command = ["npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error"]
    lock = (LIGHTHOUSE / "package-lock.json").read_bytes()
    stamp = LIGHTHOUSE / "node_modules" / ".made-for"
    once(lambda: subprocess.run(command, cwd=LIGHTHOUSE, check=True), stamp, lock)


def print_weights(published: Path, address: str) -> None:
    """Print what each condition page weighs, and what its first view loads on a phone, by density of the screen."""
    vehicles = sorted(published.glob("vehicles/*/index.html"))
    pages = ["index.html", *(path.relative_to(published).as_posix() for path in vehicles)]
    print("| kB, compressed | HTML | CSS | scripts | together | typeface | first view, density 1 | 2 | 3 |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- | --- |")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find_browser(), args=BROWSER_ARGUMENTS)
        for path in pages:
            views = [first_view(browser, f"{address}/{path}", density, published) for density in DENSITIES]
            text = [views[0][kind] for kind in ("document", "stylesheet", "script")]
            figures = [*text, sum(text), views[0]["font"], *(sum(view.values()) for view in views)]
            print(f"| {path} | {' | '.join(f'{figure / 1000:.1f}' for figure in figures)} |", flush=True)
        browser.close()


def first_view(browser: Browser, address: str, density: int, published: Path) -> Mapping[str, int]:
    """Return the bytes, by kind of resource, of all that a phone loads before anybody scrolls."""
    context = browser.new_context(viewport=PHONE, device_scale_factor=density)
    page, loaded = context.new_page(), defaultdict[str, int](int)

    def add(request: Request) -> None:
        file = published / urlsplit(request.url).path.lstrip("/")
        loaded[request.resource_type] += len(compressed(file))

    page.on("requestfinished", add)
    page.goto(address)
    page.wait_for_load_state("networkidle")
    context.close()
    return loaded


def print_lighthouse(address: str) -> None:
    """Print scores, of 100, and metrics: of each page the run in the middle, and the checks that it did not pass."""
    print(f"\n| page, median of {RUNS} | {' | '.join(CATEGORIES)} | FCP | LCP | TBT | CLS |")
    print(f"|{' --- |' * (1 + len(CATEGORIES) + len(METRICS))}")
    lost: dict[str, list[str]] = defaultdict(list)
    for path in AUDITED:
        report = median_report(f"{address}/{path}")
        scores = [f"{report['categories'][name]['score'] * 100:.0f}" for name in CATEGORIES]
        first, largest, blocked, shift = (report["audits"][name]["numericValue"] for name in METRICS)
        metrics = [f"{first / 1000:.1f} s", f"{largest / 1000:.1f} s", f"{blocked:.0f} ms", f"{shift:.3f}"]
        print(f"| {path} | {' | '.join([*scores, *metrics])} |", flush=True)
        for check in points_lost(report):
            lost[check].append(path)
    for check, paths in sorted(lost.items()):
        print(f"\nPoints lost by {check}: {', '.join(paths)}")


def median_report(address: str) -> dict[str, Any]:
    """Return the report of the run whose performance is in the middle."""
    reports = sorted(
        (audit(address) for _ in range(RUNS)), key=lambda each: each["categories"]["performance"]["score"]
    )
    return reports[RUNS // 2]


def audit(address: str) -> dict[str, Any]:
    """Run Lighthouse on one page, in a browser of its own that asks no other host for anything."""
    flags = '--headless=new --no-sandbox --host-resolver-rules="MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"'
    done = subprocess.run(
        [
            *(LIGHTHOUSE / "node_modules" / ".bin" / "lighthouse", address, "--output=json", "--quiet"),
            *("--no-enable-error-reporting", f"--only-categories={','.join(CATEGORIES)}"),
            f"--chrome-flags={flags}",
        ],
        env={**os.environ, "CHROME_PATH": str(find_browser())},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    report: dict[str, Any] = json.loads(done.stdout)
    assert "runtimeError" not in report, report["runtimeError"]
    return report


def points_lost(report: Mapping[str, Any]) -> list[str]:
    """Return the titles of the checks, besides those of speed, that count and did not pass."""
    counted = {
        each["id"] for name in CATEGORIES[1:] for each in report["categories"][name]["auditRefs"] if each["weight"]
    }
    audits = [report["audits"][name] for name in sorted(counted)]
    return [each["title"] for each in audits if each["score"] is not None and each["score"] < 1]
