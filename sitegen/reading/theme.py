"""Read a theme's data files, and check the theme: required files, references between files, and unused own files.

Templates are checked when they are rendered.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fnmatch import fnmatchcase
from pathlib import Path

from PIL import ImageFont

from sitegen.reading.theme_references import COPY, find_broken_references
from sitegen.reading.theme_scripts import script_problems
from sitegen.reading.validation.did_you_mean import did_you_mean
from sitegen.reading.validation.record_files import Model, Reading, read_file
from sitegen.reading.yaml.files import read_text
from sitegen.records.problems import Problem
from sitegen.records.theme import DRAWINGS, DrawingPlaces, ShareLook, ThemeData, drawing_file
from sitegen.shared_data import ThemeFolders

SHARE_PICTURE = "share_picture.yaml"
PLACES = "components/body-plan/places.yaml"
NEEDED = (
    "bay/bay.css",
    "bay/bay.html",
    "bay/bay.js",
    "bay/entries.js",
    "bay/keeper.js",
    "bay/limits.js",
    "bay/moments.js",
    "bay/photos/photo-marks.js",
    "bay/record.js",
    "bay/storage.js",
    "bay/vendor/fflate.js",
    "bay/vendor/js-yaml.js",
    "bay/vin.js",
    "bay/visits/known.js",
    "bay/visits/visit.js",
    "bay/zipped.js",
    "desk/desk.css",
    "desk/desk.js",
    "desk/film-parts.js",
    "desk/film.html",
    "desk/film.js",
    "desk/index.html",
    "desk/vehicle.html",
    "fonts/*.woff2",
    "gallery/example.html",
    "gallery/gallery.css",
    "gallery/gallery.mjs",
    "gallery/index.html",
    "gallery/photo.svg",
    "icons/icon.svg",
    "pages/compare.html",
    "pages/condition.html",
    "pages/data.html",
    "pages/disclosure-sheet.html",
    "pages/inventory.html",
    "pages/kept.html",
    "pages/mechanic-sheet.html",
    "pages/not-found.html",
    "pages/notice.html",
    "pages/own.html",
    "pages/window-sheet.html",
    "styles/*.css",
    *(drawing_file(name) for name in DRAWINGS),
)
"""Files that every theme must have, in addition to the data files and to files that others refer to."""

TEXTS = {".html", ".css", ".mjs", ".svg"}
_ADDED_STYLES = "styles/*.css"
_README = "README.md"


def read_theme_data(folders: ThemeFolders) -> tuple[ThemeData | None, tuple[Problem, ...]]:
    """Return a theme's data, or None if there is any problem, and every problem of its files, sorted."""
    files = folders.files()
    look = _read(ShareLook, SHARE_PICTURE, folders)
    places = _read(DrawingPlaces, PLACES, folders)
    problems = {
        *look.problems,
        *places.problems,
        *_missing(files, folders),
        *_unreadable_texts(files, folders),
        *find_broken_references(folders),
        *script_problems(folders),
        *_font_problems(look, files),
        *_drawings_without_places(places),
        *_unused_own_files(folders),
    }
    if look.record is None or places.record is None or problems:
        return None, tuple(sorted(problems))
    return ThemeData(look.record, files[look.record.font], places.record.root), ()


def theme_data(folders: ThemeFolders) -> ThemeData | None:
    """Return a theme's data without checking the theme, or None if the data cannot be read."""
    look, places = _read(ShareLook, SHARE_PICTURE, folders).record, _read(DrawingPlaces, PLACES, folders).record
    if look is None or places is None:
        return None
    return ThemeData(look, folders.files()[look.font], places.root)


def _read(model: type[Model], path: str, folders: ThemeFolders) -> Reading[Model]:
    return read_file(model, folders.files().get(path, folders.shared / path), folders.shown_as(path))


def _missing(files: Mapping[str, Path], folders: ThemeFolders) -> Iterator[Problem]:
    for pattern in NEEDED:
        if not any(fnmatchcase(path, pattern) for path in files):
            yield Problem(folders.shown_as(pattern), 0, 0, "", "no such file", "a file that every theme has", COPY)


def _unreadable_texts(files: Mapping[str, Path], folders: ThemeFolders) -> Iterator[Problem]:
    for path, file in files.items():
        if file.suffix in TEXTS:
            _, problems = read_text(file, folders.shown_as(path))
            yield from problems


def _font_problems(look: Reading[ShareLook], files: Mapping[str, Path]) -> Iterator[Problem]:
    """Yield a problem if the font for share pictures is missing or is not a font."""
    if look.sound_part is None:
        return
    font = look.sound_part.font
    if font not in files:
        fonts = [path for path in files if path.startswith("fonts/")]
        mend = did_you_mean(font, fonts, "name a file of the theme's fonts/")
        yield look.marks.problem(("font",), "the path of a font in the theme", mend)
        return
    try:
        ImageFont.truetype(files[font], 24)
    except OSError:
        yield look.marks.problem(("font",), "a font (WOFF2, TrueType or OpenType)", "name a file that is a font")


def _drawings_without_places(places: Reading[DrawingPlaces]) -> Iterator[Problem]:
    """Yield a problem for each drawing without coordinates."""
    if places.record is not None:
        for name in DRAWINGS:
            if name not in places.record.root:
                yield places.marks.problem((), f'the key "{name}"', f'add "{name}: ..."', found="nothing")


def _unused_own_files(folders: ThemeFolders) -> Iterator[Problem]:
    """Yield a problem for each file in the store's `theme` folder that replaces nothing and that nothing names."""
    if folders.own.is_file():
        yield Problem(folders.own.name, 0, 0, "", "a file", "a folder of files of the theme", "make it a folder")
    own, shared = folders.own_files(), folders.shared_files()
    texts = {path: file.read_text("utf-8", errors="replace") for path, file in own.items()}
    for path, file in own.items():
        is_used = path in shared or fnmatchcase(path, _ADDED_STYLES) or file.name == _README
        if is_used or any(_reference_to(path) in text for other, text in texts.items() if other != path):
            continue
        found = "a file that nothing of the theme answers to"
        expected = "a file in the place of one of the theme, or one that another file of this folder names"
        yield Problem(folders.shown_as(path), 0, 0, "", found, expected, _mend_of(path, shared))


def _reference_to(path: str) -> str:
    """Return the text that refers to a file: the folder of a component, or the file's own name."""
    kind, _, rest = path.partition("/")
    return f"{kind}/{rest.partition('/')[0]}/" if kind == "components" else path.rpartition("/")[2]


def _mend_of(path: str, shared: Mapping[str, Path]) -> str:
    name = path.rpartition("/")[2]
    namesakes = [other for other in shared if other.rpartition("/")[2] == name]
    if len(namesakes) == 1:
        return f"move it to theme/{namesakes[0]}"
    if path.endswith(".css") and not path.startswith("components/"):
        return "move it to theme/styles/, where every style sheet joins the theme's"
    return did_you_mean(path, shared, "delete it; `sitegen help theme` lists the theme's files")
