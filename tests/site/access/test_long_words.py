"""Words without a break, on every type of page, at the widths of phones: nothing bursts sideways, on paper neither.

WCAG 2.2, 1.4.10 Reflow. Every text that a shop writes is one German word of 60 letters; there are 60 defects.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.conftest import run_sitegen, serve
from tests.site.pages import wait_until_whole
from tests.site.print.printing import words_near_an_edge
from tests.site.print.test_sheets import EDGE, SHEETS

WORD = "Kraftfahrzeughaftpflichtversicherungsgesellschaftsvertretung"
MAKE = "Brevikfjordlinemobilen"
MANY = 60
STOCKS = ("K102", "K107")
"""One with a film and one that was sold."""

PLAIN = {"name", "location", "by", "reference", "model", "trim"}
"""Names, which are the same in each language."""
FILES = {"captions", "chapters"}

BURST = """() => {
    const limit = document.documentElement.clientWidth;
    const over = document.documentElement.scrollWidth - limit;
    if (over <= 0) return [];
    const scrolls = element =>
        element && (getComputedStyle(element).overflowX !== "visible" || scrolls(element.parentElement));
    const wide = [...document.body.querySelectorAll("*")].filter(
        element => element.getBoundingClientRect().right > limit + 0.5 && !scrolls(element.parentElement));
    return [over, ...wide.slice(-3).map(element => element.outerHTML.slice(0, 120))];
}"""


class InFull(yaml.SafeDumper):
    """Writes out what is the same in several places, for a record holds no references."""

    def ignore_aliases(self, _: Any) -> bool:
        return True


def lengthened(written: Any, key: str = "") -> Any:
    """Return what is written with a word in the place of every text that is read on a page."""
    if isinstance(written, list):
        return [lengthened(item, key) for item in written]
    if isinstance(written, dict):
        written = {"on" if name is True else name: item for name, item in written.items()}  # so YAML 1.1 reads `on`
        if set(written) <= {"en", "es"} and key not in FILES:
            return WORD
        return {name: lengthened(item, name) for name, item in written.items()}
    return WORD if key in PLAIN and isinstance(written, str) else written


@pytest.fixture(scope="module")
def built(demo_store: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store of three vehicles, in which every word is long, with its bay page beside it."""
    store = tmp_path_factory.mktemp("long") / "store"
    shutil.copytree(demo_store, store, ignore=shutil.ignore_patterns("published", "ledger.jsonl", "revisions"))
    settings = yaml.safe_load((store / "site.yaml").read_text("utf-8"))
    settings = {**lengthened(settings), "address": [WORD, WORD], "email": f"{WORD[:30]}@{WORD}.example"}
    (store / "site.yaml").write_text(yaml.safe_dump(settings), "utf-8")
    for folder in (store / "vehicles").iterdir():
        if folder.name not in STOCKS:
            shutil.rmtree(folder)
            continue
        file = folder / "inspection.yaml"
        record = lengthened(yaml.safe_load(file.read_text("utf-8")))
        record["vehicle"]["make"] = MAKE
        defects = record.get("defects", "none")
        if folder.name == "K102":
            more = range(len(defects), MANY)
            defects += [{**defects[number % 4], "id": f"another-flaw-{number}"} for number in more]
        file.write_text(yaml.dump(record, Dumper=InFull), "utf-8")
    for page in (store / "pages").rglob("*.md"):
        table = f"| {WORD} | {WORD} |\n| --- | --- |\n| {WORD} | {WORD} |\n"
        page.write_text(
            f"# {WORD}\n\n{WORD} `{WORD}`\n\n## {WORD}\n\n- [{WORD}](#{WORD})\n\n{table}\n\n    {WORD} {WORD}",
            "utf-8",
        )
    for film in store.rglob("*.vtt"):
        film.write_text(
            re.sub(r"(?m)^[A-ZÁÉÍÓÚ][^:\n]*$", WORD, film.read_text("utf-8")).replace(WORD, "WEBVTT", 1), "utf-8"
        )
    for command in ("build", "bay"):
        done = run_sitegen(command, store)
        assert done.returncode == 0, done.stderr
    return store


@pytest.fixture(scope="module")
def site(built: Path) -> Iterator[str]:
    """Address of the store's folder."""
    with serve(built) as address:
        yield address


def pages_of_every_type() -> Iterator[str]:
    """Yield the path of a page of each type, in each language."""
    for language in ("published/", "published/es/"):
        yield from (f"{language}{path}" for path in ("index.html", "about/index.html", "data/index.html"))
        yield from (f"{language}vehicles/{stock}/index.html" for stock in STOCKS)
        yield from (f"{language}vehicles/K102/{sheet}" for sheet in SHEETS)
        yield f"{language}compare/index.html?vehicles=K102,K107"
        yield f"{language}kept/index.html?vehicles=K102,K107,{'Z' * 40}"
    yield "desk/bay/index.html"


def test_no_word_is_too_long_for_a_phone(open_page, site):
    """What is folded has room too."""
    page = open_page("about:blank")
    faults = []
    for path in pages_of_every_type():
        page.goto(f"{site}/{path}")
        wait_until_whole(page)
        page.evaluate("document.querySelectorAll('details').forEach(details => { details.open = true; })")
        for width in (390, 320):
            page.set_viewport_size({"width": width, "height": 844})
            burst = page.evaluate(BURST)
            if burst:
                faults.append((path, width, *burst))
    assert not faults


@pytest.mark.parametrize("name", SHEETS)
def test_no_word_is_too_long_for_paper(open_page, site, tmp_path, name):
    page = open_page(f"{site}/published/es/vehicles/K102/{name}")
    page.pdf(path=tmp_path / name, format="Letter")
    assert not list(words_near_an_edge(tmp_path / name, EDGE))
