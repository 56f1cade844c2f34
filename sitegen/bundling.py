"""Bundle a theme's scripts and minify its style sheets for browsers.

In a theme, a script is an ECMAScript module. Browsers load no modules into a page that is opened from a folder,
because every file there is an origin of its own (WHATWG HTML, "fetch a single module script"), but they run classic
scripts. So each script that a page names is published as one classic script that contains everything it imports.

Three libraries do the work, each in this process: jsmeld (SWC) links modules, minify-go minifies scripts and names
the place of a syntax error, and lightningcss parses and minifies style sheets.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterable, Mapping
from functools import lru_cache
from pathlib import Path, PurePosixPath

import jsmeld
import lightningcss
import minify

ENTRIES = "scripts/*.mjs"
"""The scripts that pages name or load later. Each is published together with everything that it imports."""
MODULES = (ENTRIES, "components/*/*.mjs", "scripts/vendor/*.js")
"""The files of a theme that entries may import."""

_LinkError: type[Exception] = getattr(jsmeld, "PyJSMeldError")  # noqa: B009 - its type stub calls it otherwise
_LINK_OPTIONS: jsmeld.JSMeldOptions = {"target": "es2022", "source_map": False, "typescript": False}
_SCRIPT_PLACE = re.compile(r"(.*) on line (\d+) and column (\d+)\n", re.DOTALL)
_STYLE_PLACE = re.compile(r"Parsing stylesheet failed: (.*) at [^ ]*:(\d+):(\d+)$", re.DOTALL)
_LINK_CAUSE = re.compile(r'failed to resolve [^"\n]+|(?<=SWC error: )[^"\n]+')


class BundlingError(ValueError):
    """A script or style sheet that cannot be published. `line` and `column` count from 1, or are 0 if unknown."""

    def __init__(self, message: str, line: int = 0, column: int = 0) -> None:
        super().__init__(message)
        self.message, self.line, self.column = message, line, column


def published_name(path: str) -> str:
    """Return the name under which a script is published: `scripts/kept.mjs` becomes `kept.js`.

    The ending is `.js` because hosts in their default setting send `.mjs` without a JavaScript MIME type, and
    browsers refuse such a script. Source: WHATWG HTML, scripts need a JavaScript MIME type.
    """
    return f"{PurePosixPath(path).stem}.js"


def bundled_scripts(entries: Iterable[str], modules: Mapping[str, str]) -> dict[str, str]:
    """Return one classic script for each entry script, by its published name, without comments.

    `modules` are the texts of all modules by their path in the theme, entries included; imports are relative paths.
    Raises BundlingError for a module that is not there, and for a script that does not parse.
    """
    return dict(_bundles(tuple(entries), tuple(modules.items())))


@lru_cache(maxsize=1)
def _bundles(entries: tuple[str, ...], modules: tuple[tuple[str, str], ...]) -> Mapping[str, str]:
    """Return the bundles of some entry scripts.

    Cached, because checking and publishing a theme need the same ones.
    """
    with tempfile.TemporaryDirectory(prefix="sitegen-") as folder:
        for path, text in modules:
            file = Path(folder, path)
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, "utf-8")
        return {published_name(entry): _bundle(Path(folder, entry)) for entry in entries}


def minified_script(text: str) -> str:
    """Return a script or module without comments and needless characters. Raises BundlingError at a syntax error."""
    try:
        return str(minify.string("text/javascript", _padded(text)))
    except minify.MinifyError as error:
        place = _SCRIPT_PLACE.match(str(error))
        raise BundlingError(place[1], int(place[2]), int(place[3])) if place else BundlingError(str(error)) from error


def minified_style(text: str) -> str:
    """Return a style sheet without comments and needless characters. Raises BundlingError at a syntax error."""
    try:
        return lightningcss.process_stylesheet(text)
    except ValueError as error:
        place = _STYLE_PLACE.match(str(error))
        # lightningcss counts lines from 0 and columns from 1.
        raise (
            BundlingError(place[1], int(place[2]) + 1, int(place[3])) if place else BundlingError(str(error))
        ) from error


def _bundle(entry: Path) -> str:
    try:
        linked = jsmeld.bundle(str(entry), _LINK_OPTIONS)
    except _LinkError as error:
        cause = _LINK_CAUSE.search(str(error))
        raise BundlingError(cause[0] if cause else str(error)) from error
    try:
        # Modules are strict, and their names are not global: ECMA-262, 11.2.2 and 16.2.1.
        return minified_script(f'(() => {{"use strict";\n{linked}\n}})();')
    except BundlingError as error:
        # The place is one of the linked text, which nobody has seen.
        raise BundlingError(f"a form that a classic script does not have ({error.message})") from error


def _padded(text: str) -> str:
    """Return a text with room at its end: minify-go refuses a result that is longer than the text."""
    return text + "\n" * (64 + len(text) // 8)
