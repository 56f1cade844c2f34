"""Read a theme and render its templates. A theme is a folder of pages, components, styles and scripts.

A store may override single files. The style sheets are published as one file, in the order of their names. All assets
are published in one folder whose name contains a hash of their bytes, so that a browser never combines an old style
sheet with a new page.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from jinja2.sandbox import ImmutableSandboxedEnvironment

from sitegen.bundling import ENTRIES, MODULES, bundled_scripts, minified_style
from sitegen.pages.frame.compiled import Compiled
from sitegen.pages.language.catalog import Catalog
from sitegen.pages.language.explained_words import ExplainedPage, marked_html, text_html
from sitegen.pages.language.formats import language_name
from sitegen.pages.language.other_languages import languages_in
from sitegen.photos.deriving.share_picture import ShareStyle
from sitegen.records.store import Store
from sitegen.records.theme import BodyPlaces, ThemeData
from sitegen.shared_data import ThemeFolders, theme_folders

PUBLISHED = (
    "fonts/*.woff2",
    "fonts/*.txt",
    "icons/*.svg",
    "scripts/vendor/*.txt",
)
"""Files that are published besides style sheet and scripts: fonts, icons, and the licenses of third-party files."""

TEMPLATE = ".html"

_OF_SHEETS = "components/*sheet/*sheet.css"
"""The style of the sheets for paper, which the pages that shoppers read on a phone do not load."""


@dataclass(frozen=True)
class Theme:
    """The templates of a theme, and its assets under their published names."""

    environment: Environment
    assets: Mapping[str, bytes]
    """Published name, such as `assets/daylight-1a2b3c4d5e/style.css`, to bytes."""
    folder: str
    bodies: Mapping[str, BodyPlaces]
    """The coordinates of parts in the theme's body drawings, by the drawing's name."""
    share_style: ShareStyle

    @property
    def style_sheet(self) -> str:
        """Published name of the style sheet."""
        return f"{self.folder}/style.css"

    @property
    def sheet_style(self) -> str:
        """Published name of the style sheet that only the sheets for paper need, after the other."""
        return f"{self.folder}/sheets.css"

    @property
    def icon(self) -> str:
        """Published name of the site's icon."""
        return f"{self.folder}/icon.svg"

    def speaking(self, words: Catalog) -> Renderer:
        """Return a renderer of this theme's templates in one language."""
        environment = self.environment.overlay()
        environment.globals = {**self.environment.globals, "say": words.say, "language": words.language}
        return Renderer(environment, words)


@dataclass(frozen=True)
class Renderer:
    """Renders templates in one language."""

    environment: Environment
    catalog: Catalog

    def page(self, template: str, **views: object) -> bytes:
        """Render a template with its view models. Raises UndefinedError for an undefined name, which is a bug.

        If a view holds texts in another language than the page's, the page gets a note that names these languages.
        """
        here = self.catalog.language
        others = [language_name(tag, here) for tag in languages_in(views) if tag != here]
        note = self.catalog.say("frame.other_languages", languages=self.catalog.listed(others)) if others else None
        return self.environment.get_template(template).render(other_languages=note, **views).encode()


@dataclass(frozen=True)
class Assets:
    """The published files of a theme. The folder's name contains a hash of their bytes."""

    folder: str
    files: Mapping[str, bytes]
    """Published name, such as `assets/daylight-1a2b3c4d5e/style.css`, to bytes."""


@dataclass(frozen=True)
class Look:
    """The parts of a theme that pages are rendered from."""

    environment: Environment
    data: ThemeData
    share_style: ShareStyle


def read_assets(folders: ThemeFolders) -> Assets:
    """Read and bundle the files that a theme publishes."""
    files = _published(folders)
    folder = f"assets/{folders.shared.name}-{_digest(files)}"
    return Assets(folder, {f"{folder}/{file}": content for file, content in files.items()})


def read_look(folders: ThemeFolders, data: ThemeData) -> Look:
    """Read the templates of a theme, and the font of its share pictures."""
    style = ShareStyle(data.share_look, data.share_font.read_bytes())
    return Look(theme_environment(folders), data, style)


def theme_of(look: Look, assets: Assets) -> Theme:
    """Return a theme from its parts."""
    return Theme(look.environment, assets.files, assets.folder, look.data.bodies, look.share_style)


def read_theme(store: Store) -> Theme:
    """Read a store's theme. A file in the store's own `theme/` folder replaces the theme's file of the same path."""
    folders = theme_folders(store.settings.theme, store.folder)
    return theme_of(read_look(folders, store.theme), read_assets(folders))


def theme_environment(folders: ThemeFolders) -> Environment:
    """Return the template environment of a theme. The store's own templates take precedence over the theme's.

    If the store has templates of its own, all run in Jinja's sandbox: a store's folder may come from somebody else,
    and a template must not run a program. The sandbox is slower, so the theme's templates alone run without it.
    """
    kind = ImmutableSandboxedEnvironment if any(folders.own.rglob("*.html")) else Environment
    environment = kind(
        loader=FileSystemLoader([str(folders.own), str(folders.shared)]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        bytecode_cache=Compiled(),
    )
    environment.filters |= {"text": text_html, "marked": marked_html}
    environment.globals["explained_page"] = ExplainedPage
    return environment


def style_sheet(folders: ThemeFolders, patterns: Iterable[str], without: str | None = None) -> bytes:
    """Return the style sheets of some patterns as one file, in the order of the patterns, minified.

    Files that match the pattern `without` are left out.
    """
    left_out = folders.files(without) if without else {}
    found = [item for pattern in patterns for item in folders.files(pattern).items()]
    files = [file for path, file in found if path not in left_out]
    return "\n".join(minified_style(file.read_text("utf-8")) for file in files).encode()


def _published(folders: ThemeFolders) -> dict[str, bytes]:
    """Return the bytes of every asset, by published name."""
    files = {
        "style.css": style_sheet(folders, ("styles/*.css", "components/*/*.css"), without=_OF_SHEETS),
        "sheets.css": style_sheet(folders, (_OF_SHEETS,)),
    }
    for pattern in PUBLISHED:
        for path in folders.files(pattern).values():
            files[path.name] = path.read_bytes()
    modules = {path: file.read_text("utf-8") for pattern in MODULES for path, file in folders.files(pattern).items()}
    scripts = bundled_scripts(folders.files(ENTRIES), modules)
    return files | {name: text.encode() for name, text in scripts.items()}


def _digest(files: Mapping[str, bytes]) -> str:
    together = hashlib.sha256()
    for name in sorted(files):
        together.update(f"{name}\0{len(files[name])}\0".encode() + files[name])
    return together.hexdigest()[:10]
