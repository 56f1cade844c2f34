"""Find scripts and style sheets of a theme that do not parse, and imports of names that no module exports."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from sitegen.bundling import ENTRIES, MODULES, BundlingError, bundled_scripts, minified_script, minified_style
from sitegen.reading.validation.did_you_mean import did_you_mean
from sitegen.records.problems import Problem
from sitegen.shared_data import ThemeFolders

_SCRIPTS = (".mjs", ".js")
_SYNTAX = "correct it here or just before; the theme's own file of that name shows how it was"

# Module syntax as minify-go writes it: double quotes, no spaces, no comments. Source: ECMA-262, 16.2.2 and 16.2.3.
_IMPORT = re.compile(r'\bimport\s?(?:([\w$]+),?)?(?:\{([^}]*)\})?\s?from"([^"]+)"')
_EXPORTED_LIST = re.compile(r"\bexport\{([^}]*)\}")
_EXPORTED = re.compile(r"\bexport (?:(?:async )?function\*?|class|const|let|var) ?([\w$]+)")
_EXPORTED_DEFAULT = re.compile(r"\bexport default\b")
_EXPORTED_OTHERWISE = re.compile(r"\bexport\*|\bexport (?:const|let|var)(?:[\[{]|[^;]*,[\w$]+=)")
_ONLY_IN_MODULES = re.compile(r"\bimport(?:\(|\.meta\b)")


def script_problems(folders: ThemeFolders) -> Iterator[Problem]:
    """Yield a problem for each file that does not parse, and each import or entry script that cannot be bundled."""
    texts = {
        path: file.read_text("utf-8", errors="replace")
        for path, file in folders.files().items()
        if file.suffix in (*_SCRIPTS, ".css") and "/vendor/" not in path
    }
    plain: dict[str, str] = {}
    faulty = False
    for path, text in texts.items():
        try:
            plain[path] = minified_style(text) if path.endswith(".css") else minified_script(text)
        except BundlingError as error:
            faulty = faulty or not path.endswith(".css")
            kind = "CSS (CSS Syntax Module Level 3)" if path.endswith(".css") else "JavaScript (ECMA-262)"
            shown = folders.shown_as(path)
            yield Problem(shown, error.line, error.column, "", error.message, f"{kind} that parses", _SYNTAX)
    modules = {path: text for path, text in plain.items() if path.endswith(".mjs")}
    problems = [*_missing_exports(modules, texts, folders), *_forms_of_modules(modules, texts, folders)]
    yield from problems
    if not faulty and not problems:
        yield from _link_problems(folders)


def _missing_exports(
    modules: Mapping[str, str], texts: Mapping[str, str], folders: ThemeFolders
) -> Iterator[Problem]:
    """Yield each imported name that the imported module does not export. The linker would leave it undefined."""
    exports = {path: _exports(text) for path, text in modules.items()}
    for path, text in modules.items():
        for default, names, source in _IMPORT.findall(text):
            exported = exports.get(_imported(path, source))
            wanted = [
                *(["default"] if default else []),
                *(name.split(" as ")[0] for name in names.split(",") if name),
            ]
            for name in wanted:
                if exported is not None and name not in exported:
                    line, column = _place(texts[path], _import_of(name, source))
                    expected = f"a name that {folders.shown_as(_imported(path, source))} exports"
                    fix = did_you_mean(name, exported, "export it there, or import something else")
                    yield Problem(folders.shown_as(path), line, column, "", name, expected, fix)


def _import_of(name: str, source: str) -> str:
    """Return a regular expression that finds a name in the statement that imports it from `source`."""
    start = "import" if name == "default" else re.escape(name)
    return rf"""\b{start}\b[^"']*["']{re.escape(source)}["']"""


def _exports(text: str) -> set[str] | None:
    """Return the names that a minified module exports. None if it uses an export form not supported here."""
    if _EXPORTED_OTHERWISE.search(text):
        return None
    listed = [each.split(" as ")[-1] for names in _EXPORTED_LIST.findall(text) for each in names.split(",") if each]
    default = {"default"} if _EXPORTED_DEFAULT.search(text) else set()
    return {*_EXPORTED.findall(text), *listed, *default}


def _forms_of_modules(
    modules: Mapping[str, str], texts: Mapping[str, str], folders: ThemeFolders
) -> Iterator[Problem]:
    """Yield each use of `import()` and `import.meta`, which a classic script that is opened from a folder lacks."""
    for path, text in modules.items():
        for form in _ONLY_IN_MODULES.findall(text):
            line, column = _place(texts[path], rf"\bimport\s*{re.escape(form.removeprefix('import')[0])}")
            expected = "a form that also works in a page that is opened from a folder"
            fix = 'import it at the top of the file, or call loadScript("lazy-....js") of page-frame/lazy-script.mjs'
            yield Problem(folders.shown_as(path), line, column, "", form.rstrip("("), expected, fix)


def _link_problems(folders: ThemeFolders) -> Iterator[Problem]:
    """Yield a problem for each entry script (`scripts/*.mjs`) that cannot be bundled into one classic script."""
    modules = {path: _text(file) for pattern in MODULES for path, file in folders.files(pattern).items()}
    entries = folders.files(ENTRIES)
    try:
        bundled_scripts(entries, modules)
        return
    except BundlingError:
        pass  # Bundle one by one, to name each entry that fails.
    for entry in entries:
        try:
            bundled_scripts([entry], modules)
        except BundlingError as error:
            expected = "a script that can be published with everything that it imports"
            fix = "take away an export or an await at the top level; import files that are there"
            yield Problem(folders.shown_as(entry), 0, 0, "", error.message, expected, fix)


def _text(file: Path) -> str:
    return file.read_text("utf-8", errors="replace")


def _imported(path: str, source: str) -> str:
    """Return the path in the theme that a relative import names: `../b/b.mjs` in `a/a.mjs` is `b/b.mjs`."""
    return posixpath.normpath(posixpath.join(posixpath.dirname(path), source))


def _place(text: str, pattern: str) -> tuple[int, int]:
    """Return line and column of the first match, or 0 and 0 if there is none."""
    match = re.search(pattern, text)
    if match is None:
        return 0, 0
    return text.count("\n", 0, match.start()) + 1, match.start() - text.rfind("\n", 0, match.start())
