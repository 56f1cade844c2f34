"""A theme: a folder of pages, components, styles and scripts, of which a store may override single files.

Styles are one file to the browser, in the order said by `styles/`. All assets lie in one folder whose name carries a
hash of their bytes, so that a visitor never sees an old style on a new page, and scripts import each other by name.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from sitegen.pages.frame.body_places import BodyPlaces, read_body_places
from sitegen.pages.language.catalog import Catalog
from sitegen.pages.language.formats import language_name
from sitegen.pages.language.other_languages import languages_told
from sitegen.pages.language.translator import Told

PUBLISHED = (
    "fonts/*.woff2",
    "fonts/*.txt",
    "scripts/*.mjs",
    "icons/*.svg",
    "scripts/vendor/*.js",
    "scripts/vendor/*.txt",
    "components/*/*.mjs",
)
"""What browsers load besides the style sheet, with the licenses of what is others' work."""


@dataclass(frozen=True)
class Theme:
    """The templates of a theme, and its assets under their published names."""

    environment: Environment
    assets: Mapping[str, bytes]
    """Published name, such as `assets/daylight-1a2b3c4d5e/style.css`, to bytes."""
    folder: str
    bodies: Mapping[str, BodyPlaces]
    """Where things are in the theme's drawings of bodies, by the drawing's name."""

    @property
    def style_sheet(self) -> str:
        """Published name of the style sheet."""
        return f"{self.folder}/style.css"

    @property
    def icon(self) -> str:
        """Published name of the site's icon."""
        return f"{self.folder}/icon.svg"

    @property
    def font(self) -> str:
        """Published name of the typeface, which every page needs at once."""
        return next(name for name in self.assets if name.endswith(".woff2"))

    def speaking(self, words: Catalog) -> Renderer:
        """Return what renders this theme's templates in one language."""
        environment = self.environment.overlay()
        environment.globals = {**self.environment.globals, "say": words.say, "language": words.language}
        return Renderer(environment, words)


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


def read_theme(name: str, themes: Path, store: Path) -> Theme:
    """Read a theme; a file of the same path in the store's own `theme/` folder is taken instead."""
    layers = [store / "theme", themes / name]
    environment = Environment(
        loader=FileSystemLoader([str(layer) for layer in layers]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["told"] = told
    files = {"style.css": _style_sheet(layers)}
    for pattern in PUBLISHED:
        files |= {path.name: path.read_bytes() for path in _layered(layers, pattern)}
    folder = f"assets/{name}-{_digest(files)}"
    (places,) = _layered(layers, "components/body-plan/places.yaml")
    assets = {f"{folder}/{file}": content for file, content in files.items()}
    return Theme(environment, assets, folder, read_body_places(places))


def told(text: Told | str) -> Markup:
    """Return a text, marked with its language where that is not the page's."""
    if isinstance(text, str):
        return escape(text)
    if text.pieces:
        return Markup("").join(told(piece) for piece in text.pieces)
    if text.language is None:
        return escape(text.text)
    return Markup('<span lang="{}">{}</span>').format(text.language, text.text)


def _style_sheet(layers: list[Path]) -> bytes:
    parts = [*_layered(layers, "styles/*.css"), *_layered(layers, "components/*/*.css")]
    return b"\n".join(path.read_bytes() for path in parts)


def _layered(layers: list[Path], pattern: str) -> list[Path]:
    """Return the files of a pattern by their path in the theme, the store's own before the theme's."""
    found: dict[str, Path] = {}
    for layer in reversed(layers):
        found.update({path.relative_to(layer).as_posix(): path for path in layer.glob(pattern)})
    return [found[key] for key in sorted(found)]


def _digest(files: Mapping[str, bytes]) -> str:
    together = hashlib.sha256()
    for name in sorted(files):
        together.update(f"{name}\0{len(files[name])}\0".encode() + files[name])
    return together.hexdigest()[:10]
