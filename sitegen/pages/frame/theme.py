"""A theme: a folder of pages, components, styles and scripts, of which a store may override single files.

Styles are one file to the browser, in the order said by `styles/`. All assets lie in one folder whose name carries a
hash of their bytes, so that a visitor never sees an old style on a new page, and scripts import each other by name.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass

from jinja2 import BaseLoader, DictLoader, Environment, FileSystemLoader, StrictUndefined

from sitegen.memory import BuildMemory
from sitegen.pages.frame.compiled import Compiled
from sitegen.pages.frame.scripts import plain_scripts
from sitegen.pages.language.catalog import Catalog
from sitegen.pages.language.explained_words import ExplainedPage, marked_html, text_html
from sitegen.pages.language.formats import language_name
from sitegen.pages.language.other_languages import languages_told
from sitegen.photos.deriving.share_picture import ShareStyle
from sitegen.records.store import Store
from sitegen.records.theme import BodyPlaces
from sitegen.shared_data import ThemeFolders, theme_folders

PUBLISHED = (
    "fonts/*.woff2",
    "fonts/*.txt",
    "icons/*.svg",
    "scripts/vendor/*.txt",
)
"""What browsers load besides style sheet and scripts, with the licenses of what is others' work."""

TEMPLATE = ".html"
STARTS = "scripts/*.mjs"
"""The scripts that pages name."""
MODULES = (STARTS, "components/*/*.mjs", "scripts/vendor/*.js")
_COMMENT = re.compile(r"\"(?:[^\"\\]|\\.)*\"|'(?:[^'\\]|\\.)*'|[ \t]*/\*.*?\*/\n?", re.DOTALL)
"""A text in quotes or a comment of a style sheet: CSS Syntax Module Level 3, 4.3."""


@dataclass(frozen=True)
class Theme:
    """The templates of a theme, and its assets under their published names."""

    environment: Environment
    assets: Mapping[str, bytes]
    """Published name, such as `assets/daylight-1a2b3c4d5e/style.css`, to bytes."""
    folder: str
    bodies: Mapping[str, BodyPlaces]
    """Where things are in the theme's drawings of bodies, by the drawing's name."""
    share_style: ShareStyle

    @property
    def style_sheet(self) -> str:
        """Published name of the style sheet."""
        return f"{self.folder}/style.css"

    @property
    def icon(self) -> str:
        """Published name of the site's icon."""
        return f"{self.folder}/icon.svg"

    def speaking(self, words: Catalog) -> Renderer:
        """Return what renders this theme's templates in one language."""
        environment = self.environment.overlay()
        environment.globals = {**self.environment.globals, "say": words.say, "language": words.language}
        return Renderer(environment, words)

    def carried(self) -> CarriedTheme:
        """Return what pages need of the theme, to be taken to another process."""
        loader = self.environment.loader
        assert loader is not None
        names = (name for name in loader.list_templates() if name.endswith(TEMPLATE))
        templates = {name: loader.get_source(self.environment, name)[0] for name in names}
        return CarriedTheme(templates, tuple(self.assets), self.folder, self.bodies, self.share_style)


@dataclass(frozen=True)
class CarriedTheme:
    """What pages need of a theme, as values alone."""

    templates: Mapping[str, str]
    assets: tuple[str, ...]
    """Their published names."""
    folder: str
    bodies: Mapping[str, BodyPlaces]
    share_style: ShareStyle

    def unpacked(self) -> Theme:
        """Return a theme that renders the same, with nothing in its assets."""
        assets = dict.fromkeys(self.assets, b"")
        environment = _environment(DictLoader(dict(self.templates)))
        return Theme(environment, assets, self.folder, self.bodies, self.share_style)


@dataclass(frozen=True)
class Renderer:
    """Renders templates in one language."""

    environment: Environment
    catalog: Catalog

    def page(self, template: str, **views: object) -> bytes:
        """Render a template with its view models. An undefined name is our own mistake, and raises.

        Where a view tells something in another language than the page's, the page says so.
        """
        here = self.catalog.language
        others = [language_name(tag, here) for tag in languages_told(views) if tag != here]
        note = self.catalog.say("frame.other_languages", languages=self.catalog.listed(others)) if others else None
        return self.environment.get_template(template).render(other_languages=note, **views).encode()


def read_theme(store: Store, memory: BuildMemory | None = None) -> Theme:
    """Read a store's theme; a file of the same path in its own `theme/` folder is taken instead of the theme's.

    What the `memory` knows of a template is not compiled again.
    """
    name, data = store.settings.theme, store.theme
    folders = theme_folders(name, store.folder)
    files = _published(folders)
    folder = f"assets/{name}-{_digest(files)}"
    assets = {f"{folder}/{file}": content for file, content in files.items()}
    style = ShareStyle(data.share_look, data.share_font.read_bytes())
    return Theme(theme_environment(folders, memory), assets, folder, data.bodies, style)


def theme_environment(folders: ThemeFolders, memory: BuildMemory | None = None) -> Environment:
    """Return what finds and compiles the templates of a theme, the store's own before the theme's."""
    return _environment(FileSystemLoader([str(folders.own), str(folders.shared)]), memory)


def _environment(loader: BaseLoader, memory: BuildMemory | None = None) -> Environment:
    environment = Environment(
        loader=loader,
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        bytecode_cache=Compiled(memory),
    )
    environment.filters |= {"text": text_html, "marked": marked_html}
    environment.globals["explained_page"] = ExplainedPage
    return environment


def _published(folders: ThemeFolders) -> dict[str, bytes]:
    """Return what browsers load, by published name."""
    styles = [*folders.files("styles/*.css").values(), *folders.files("components/*/*.css").values()]
    files = {"style.css": "\n".join(_without_comments(path.read_text("utf-8")) for path in styles).encode()}
    for pattern in PUBLISHED:
        for path in folders.files(pattern).values():
            files[path.name] = path.read_bytes()
    starts = [path.name for path in folders.files(STARTS).values()]
    modules = {path.name: path.read_text("utf-8") for pattern in MODULES for path in folders.files(pattern).values()}
    return files | {name: text.encode() for name, text in plain_scripts(modules, starts).items()}


def _without_comments(style: str) -> str:
    """Return a style sheet without its comments, which no visitor needs; what stands in quotes stays."""
    return _COMMENT.sub(lambda match: "" if match[0].lstrip().startswith("/*") else match[0], style)


def _digest(files: Mapping[str, bytes]) -> str:
    together = hashlib.sha256()
    for name in sorted(files):
        together.update(f"{name}\0{len(files[name])}\0".encode() + files[name])
    return together.hexdigest()[:10]
