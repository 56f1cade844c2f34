"""Build the component page: every component of the theme, its README, and a page for each of its examples.

It is for whoever works on a theme. The preview serves it; a published site never contains it. Components are
discovered by their folders, so components that a theme or a store adds or overrides appear too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

import yaml
from jinja2 import Environment
from markupsafe import Markup

from sitegen.pages.composing import translator_for
from sitegen.pages.frame.addresses import Address, language_folder
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.theme import Renderer, read_theme
from sitegen.pages.gallery.examples import example_views
from sitegen.pages.inventory.lists import address_word
from sitegen.pages.language.markdown_text import page_html
from sitegen.records.figures import Figures
from sitegen.records.problems import Problem, ProblemsError
from sitegen.records.store import Store

FOLDER = "_components"
"""The folder of the component page in a preview. A store's own page cannot have this name."""

PLAIN_FILES = ("gallery.css", "gallery.mjs", "photo.svg")

WRITTEN_IN = "en"
"""The language of the component page itself, and of every example that does not name another."""


@dataclass(frozen=True)
class Example:
    """One macro in one state, as `examples.yaml` defines it."""

    macro: str
    state: str
    language: str
    arguments: Mapping[str, object]

    @property
    def slug(self) -> str:
        """The name of its page in addresses."""
        return address_word(f"{self.macro}-{self.state}")


@dataclass(frozen=True)
class Component:
    """A component of the theme: its name, its README as HTML, its macros' argument types, and its examples."""

    name: str
    about: Markup
    takes: Mapping[str, Any]
    """The type name of each macro argument, as `example_views` reads it."""
    examples: tuple[Example, ...]

    @property
    def template(self) -> str:
        """The template that holds its macros."""
        return f"components/{self.name}/{self.name}.html"

    def page(self, example: Example) -> str:
        """Return the link from the component page to the page of an example."""
        return f"{self.name}/{example.slug}.html"


def component_pages(store: Store, figures: Figures, today: date) -> dict[str, bytes]:
    """Return the component page, the pages of examples and their files, by path in the preview."""
    theme = read_theme(store)
    files = {f"{FOLDER}/{file}": _text(theme.environment, f"gallery/{file}").encode() for file in PLAIN_FILES}
    components = tuple(read_components(theme.environment))
    languages = {example.language for component in components for example in component.examples} | {WRITTEN_IN}
    speakers = {
        language: Surroundings(
            store,
            theme,
            translator_for(language, store.settings, figures),
            language_folder(language, store.settings),
            today,
        )
        for language in languages
    }
    renderers = {language: theme.speaking(around.translator.catalog) for language, around in speakers.items()}
    style = Address(f"{FOLDER}/index.html").to(theme.style_sheet)
    page = renderers[WRITTEN_IN].page("gallery/index.html", components=components, style_sheet=style)
    files[f"{FOLDER}/index.html"] = page
    for component in components:
        for example in component.examples:
            at = Address(f"{FOLDER}/{component.page(example)}")
            files[at.file] = _example_page(
                component, example, at, speakers[example.language], renderers[example.language]
            )
    return files


def read_components(environment: Environment) -> Iterator[Component]:
    """Yield every component of a theme, by name."""
    paths = set(environment.list_templates())
    for name in sorted({path.split("/")[1] for path in paths if path.startswith("components/")}):
        readme, examples = f"components/{name}/README.md", f"components/{name}/examples.yaml"
        _, _, about = _text(environment, readme).partition("\n") if readme in paths else ("", "", "")
        macros = dict(yaml.safe_load(_text(environment, examples)) if examples in paths else {})
        takes = macros.pop("takes", {})
        yield Component(name, page_html(about), takes, tuple(_examples(macros)))


def _examples(macros: Mapping[str, Any]) -> Iterator[Example]:
    for macro, states in macros.items():
        for state, arguments in states.items():
            given = dict(arguments or {})
            yield Example(macro, state, given.pop("language", WRITTEN_IN), given)


def _text(environment: Environment, path: str) -> str:
    """Return the text of a theme file that is not a template, or of the store's own file of the same path."""
    assert environment.loader is not None, "a theme is read from folders"
    text, _, _ = environment.loader.get_source(environment, path)
    return text


def _example_page(
    component: Component, example: Example, at: Address, around: Surroundings, renderer: Renderer
) -> bytes:
    module = renderer.environment.get_template(component.template).module
    try:
        shown = getattr(module, example.macro)(**example_views(example.arguments, component.takes, around))
    except Exception as fault:
        place = f"components/{component.name}/examples.yaml"
        found = f"an example that cannot be shown ({type(fault).__name__}: {fault})"
        expected, mend = "arguments that the macro takes", "correct the example, takes or the macro"
        where = f"{example.macro}.{example.state}"
        raise ProblemsError(Problem(place, 0, 0, where, found, expected, mend)) from fault
    return renderer.page(
        "gallery/example.html",
        component=component,
        example=example,
        shown=shown,
        style_sheet=at.to(around.theme.style_sheet),
        sheet_style=at.to(around.theme.sheet_style),
    )
