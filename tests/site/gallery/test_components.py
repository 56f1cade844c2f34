"""Every component in every state of its `examples.yaml`, as the component page shows it, in a real browser.

Sources: axe-core (WCAG 2.2 AA and best practices), WCAG 2.2 1.4.10 Reflow, the Nu HTML checker. That the data of an
example is whole is held twice: it is made into the macro's own view model, and templates are strict.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Page

from sitegen.pages.frame.theme import read_theme
from sitegen.pages.gallery.gallery import FOLDER, component_pages
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.store import read_store
from sitegen.records.problems import ProblemsError
from sitegen.shared_data import content_folder
from tests.builders import write_store
from tests.conftest import REPOSITORY, serve
from tests.site.access.test_accessibility import AXE, LEVELS, RUN
from tests.site.delivery.test_markup import faults_of_markup

COMPONENTS = REPOSITORY / "themes" / "daylight" / "components"
TODAY = date(2026, 11, 21)


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The component page of a store without a theme of its own, in a folder, with the theme's assets."""
    folder = tmp_path_factory.mktemp("components")
    store, _ = read_store(write_store(folder / "store"), TODAY)
    pages = component_pages(store, read_figures(content_folder(), store.settings.region), TODAY)
    assets = read_theme(store).assets
    for path, content in {**pages, **assets}.items():
        file = folder / "shown" / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content)
    return folder / "shown"


@pytest.fixture(scope="module")
def address(shown: Path) -> Iterator[str]:
    with serve(shown) as served:
        yield f"{served}/{FOLDER}"


def examples(shown: Path) -> list[str]:
    """Return the pages of all examples, seen from the component page."""
    return sorted(page.relative_to(shown / FOLDER).as_posix() for page in (shown / FOLDER).glob("*/*.html"))


def test_no_example_has_an_axe_violation_or_scrolls_sideways(open_page, address, shown):
    page = open_page("about:blank")
    page.add_init_script(AXE)
    faults: list[tuple[object, ...]] = []
    for example in examples(shown):
        page.goto(f"{address}/{example}")
        for width, scheme in ((320, "dark"), (1280, "light")):
            page.set_viewport_size({"width": width, "height": 800})
            page.emulate_media(color_scheme=scheme)
            faults += [(example, width, scheme, *fault) for fault in faults_of_example(page)]
    assert not faults


def faults_of_example(page: Page) -> list[tuple[object, ...]]:
    violations, _ = page.evaluate(RUN, LEVELS)
    wide, room = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    return [*map(tuple, violations), *([("sideways", wide, room)] if wide > room else [])]


def test_the_component_page_frames_every_example_and_has_no_violation(open_page, address, shown):
    page = open_page(f"{address}/index.html")
    framed = page.locator("iframe").evaluate_all("frames => frames.map(frame => frame.getAttribute('src'))")
    assert sorted(framed) == examples(shown)
    page.evaluate(AXE)
    found = page.evaluate("levels => axe.run({exclude: ['iframe']}, {runOnly: levels})", LEVELS)
    assert not [(rule["id"], [node["target"] for node in rule["nodes"]]) for rule in found["violations"]]


def test_every_component_page_is_valid_markup(shown):
    assert not faults_of_markup([*(shown / FOLDER).rglob("*.html"), *(shown / FOLDER).rglob("*.css")])


def test_every_component_says_what_it_is_for_and_shows_every_macro_that_is_not_part_of_another(shown):
    """A macro is a component's own where no other template or macro but its own file's speaks of it."""
    folders = sorted(folder for folder in COMPONENTS.iterdir() if folder.is_dir())
    assert len(folders) > 15
    for folder in folders:
        assert (folder / "README.md").read_text("utf-8").startswith(f"# {folder.name}\n"), folder
        template = folder / f"{folder.name}.html"
        text = template.read_text("utf-8") if template.is_file() else ""
        macros = set(re.findall(r"{% macro (\w+)\(", text))
        within = {macro for macro in macros if text.count(f"{macro}(") > 1}
        slugs = [page.stem for page in (shown / FOLDER / folder.name).glob("*.html")]
        unseen = {
            macro for macro in macros - within if not any(slug.startswith(macro.replace("_", "-")) for slug in slugs)
        }
        assert not unseen, folder


def test_an_example_that_cannot_be_shown_is_a_problem_of_its_file(tmp_path):
    """An argument that the view model does not have, as after a field was renamed."""
    folder = write_store(tmp_path / "store")
    own = folder / "theme/components/qr-code/examples.yaml"
    own.parent.mkdir(parents=True)
    text = (COMPONENTS / "qr-code/examples.yaml").read_text("utf-8")
    own.write_text(text.replace("{code: {content:", "{code: {contents:", 1), "utf-8")
    store, _ = read_store(folder, TODAY)
    with pytest.raises(ProblemsError) as raised:
        component_pages(store, read_figures(content_folder(), store.settings.region), TODAY)
    (problem,) = raised.value.problems
    assert problem.as_line().startswith(
        "components/qr-code/examples.yaml: qr_drawing.The address of a vehicle: found an example that cannot be "
        "shown (KeyError: 'contents'); expected arguments that the macro takes;"
    )
