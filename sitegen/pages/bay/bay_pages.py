"""Build the files of the bay page: a page for each language, scripts, a style sheet, and a service worker.

The files request nothing from the site or any other host. They work both when a web server delivers them and when
they are opened from a folder.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.pages.bay.vocabulary import Shop, bay_vocabulary, view_box
from sitegen.pages.frame.script_data import script_json
from sitegen.pages.frame.theme import Renderer, style_sheet, theme_environment
from sitegen.pages.language.catalog import Catalog
from sitegen.pages.language.formats import own_name
from sitegen.records.theme import drawing_file
from sitegen.shared_data import ThemeFolders

_COPIED = ("bay/*.js", "bay/vendor/*.js", "bay/vendor/*.txt", "fonts/*", "icons/icon.svg")
_STYLES = ("styles/1-tokens.css", "styles/2-base.css", "bay/bay.css", "components/body-plan/body-plan.css")


@dataclass(frozen=True)
class Drawing:
    """The drawing of a body: its name in records, its template, and the SVG view box."""

    body: str
    template: str
    view_box: str


@dataclass(frozen=True)
class OtherPage:
    """A link to the bay page in another language."""

    address: str
    language: str
    name: str


def bay_pages(folders: ThemeFolders, shop: Shop) -> dict[str, bytes]:
    """Return every file by its name in the folder. `index.html` is in the store's first language."""
    files = {"bay.css": style_sheet(folders, _STYLES)}
    for pattern in _COPIED:
        files |= {path.rpartition("/")[2]: file.read_bytes() for path, file in folders.files(pattern).items()}
    environment = theme_environment(folders)
    addresses = {each.language: _address(place, each.catalog) for place, each in enumerate(shop.translators)}
    for translator in shop.translators:
        catalog = translator.catalog
        others = tuple(
            OtherPage(address, tag, own_name(tag)) for tag, address in addresses.items() if tag != catalog.language
        )
        spoken = environment.overlay()
        spoken.globals = {**environment.globals, "say": catalog.say, "language": catalog.language}
        files[addresses[catalog.language]] = Renderer(spoken, catalog).page(
            "bay/bay.html",
            vocabulary=script_json(bay_vocabulary(shop, translator)),
            drawings=tuple(
                Drawing(body, drawing_file(body), " ".join(map(str, view_box(places))))
                for body, places in shop.bodies.items()
            ),
            others=others,
        )
    return {**files, "keeper.js": _keeper(files)}


def _address(place: int, catalog: Catalog) -> str:
    return "index.html" if place == 0 else f"{catalog.language}.html"


def _keeper(files: Mapping[str, bytes]) -> bytes:
    """Return the service worker with all file names and their digest, so that it updates when a file changes."""
    together = hashlib.sha256()
    for name in sorted(files):
        together.update(f"{name}\0{len(files[name])}\0".encode() + files[name])
    names = ["./", *sorted(name for name in files if name != "keeper.js")]
    cache = json.dumps({"name": f"bay-{together.hexdigest()[:10]}", "files": names})
    return f"self.bayCache = {cache};\n".encode() + files["keeper.js"]
