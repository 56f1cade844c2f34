"""Missing files of a theme, and unused files of a store's own `theme` folder, are reported before a build.

Each case is a copy of the theme that ships, with one change.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from sitegen.reading.theme import read_theme_data
from sitegen.shared_data import ThemeFolders, theme_folders

RULER = "components/ruler/ruler.html"


@pytest.fixture
def folders(tmp_path: Path) -> ThemeFolders:
    """A copy of the shipped theme under another name, and a folder of the store's own files."""
    shared = theme_folders("daylight", tmp_path).shared
    (tmp_path / "theme").mkdir()
    return ThemeFolders(tmp_path / "theme", shutil.copytree(shared, tmp_path / "themes" / "dusk"))


def told(folders: ThemeFolders) -> list[str]:
    data, problems = read_theme_data(folders)
    assert (data is None) == bool(problems)
    return [problem.as_line() for problem in problems]


def write(file: Path, text: str) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, "utf-8")


def replace(path: str, old: str, new: str) -> Callable[[Path], None]:
    def done(theme: Path) -> None:
        text = (theme / path).read_text("utf-8")
        assert old in text
        (theme / path).write_text(text.replace(old, new, 1), "utf-8")

    return done


def remove(path: str) -> Callable[[Path], None]:
    def done(theme: Path) -> None:
        place = theme / path
        shutil.rmtree(place) if place.is_dir() else place.unlink()

    return done


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (remove("pages/own.html"), "themes/dusk/pages/own.html: found no such file; expected a file"),
        (remove("fonts"), "themes/dusk/fonts/*.woff2: found no such file; expected a file that every theme has"),
        (
            remove("components/ruler"),
            'themes/dusk/components/wheel/wheel.html:3:10: found components/ruler/ruler.html; '
            "expected the name of a file of the theme; to mend, write it, or copy",
        ),
        (remove("scripts/compare.mjs"), "themes/dusk/pages/compare.html:4:"),
        (remove("components/outlook/outlook.mjs"), "themes/dusk/scripts/condition.mjs:9:44: "),
        (
            replace("components/fold/fold.mjs", "export function enhance(", "export function enhance(,"),
            "themes/dusk/components/fold/fold.mjs:12:25: found unexpected , in binding; expected "
            "JavaScript (ECMA-262) that parses; to mend, ",
        ),
        (
            replace("components/fold/fold.mjs", "export function enhance", "export function enhanced"),
            "themes/dusk/scripts/condition.mjs:6:10: found enhance; expected a name that "
            'themes/dusk/components/fold/fold.mjs exports; to mend, did you mean "enhanced"?',
        ),
        (
            replace("components/fold/fold.mjs", "\nexport", "\nconst load = () => import('./a.mjs');\nexport"),
            "themes/dusk/components/fold/fold.mjs:12:20: found import; expected a form that also works in a page "
            "that is opened from a folder; to mend, ",
        ),
        (
            replace("components/fold/fold.mjs", "\nexport", "\nawait 1;\nexport"),
            "themes/dusk/scripts/condition.mjs: found a form that a classic script does not have (unexpected 1 in ",
        ),
        (
            replace("scripts/condition.mjs", "lazy-kept-notice.js", "lazy-kept-note.js"),
            "themes/dusk/scripts/condition.mjs:21:15: found lazy-kept-note.js; expected the name of a file "
        ),
        (
            replace("components/fold/fold.css", "}", "}}"),
            "themes/dusk/components/fold/fold.css:11:1: found Unexpected end of input; expected CSS (",
        ),
        (remove("layouts/frame.html"), "themes/dusk/pages/notice.html:1:"),
        (
            replace(RULER, "macro ruler_drawing", "macro ruler_picture"),
            f"themes/dusk/{RULER}: found no such macro; expected the macro ruler_drawing, which "
            "themes/dusk/components/",
        ),
        (remove("share_picture.yaml"), "themes/dusk/share_picture.yaml: found no such file; expected a file of this"),
        (
            replace("share_picture.yaml", '"#0a4a80"', "navy"),
            "themes/dusk/share_picture.yaml:7:9: accent: found navy; expected a color as red, green and blue (",
        ),
        (
            replace("share_picture.yaml", "fonts/atkinson", "fonts/atkisnon"),
            "themes/dusk/share_picture.yaml:2:7: font: found fonts/atkisnon-hyperlegible-next.woff2; expected the "
            'path of a font in the theme; to mend, did you mean "fonts/atkinson-hyperlegible-next.woff2"?',
        ),
        (
            replace("share_picture.yaml", "fonts/atkinson-hyperlegible-next.woff2", "icons/icon.svg"),
            "themes/dusk/share_picture.yaml:2:7: font: found icons/icon.svg; expected a font (",
        ),
        (
            replace("components/body-plan/places.yaml", "\ncargo van:", "\ncargo vann:"),
            'themes/dusk/components/body-plan/places.yaml:10:1: found nothing; expected the key "cargo van"',
        ),
        (
            replace("components/body-plan/places.yaml", "front: 173", "front: near"),
            "themes/dusk/components/body-plan/places.yaml:11:11: "
            "hatchback.front: found near; expected a whole number",
        ),
        (
            remove("components/body-plan/bodies/coupe.html"),
            "themes/dusk/components/body-plan/bodies/coupe.html: found no such file",
        ),
        (
            lambda theme: (theme / RULER).write_bytes(b"{# \xff #}"),
            f"themes/dusk/{RULER}:1:4: ",
        ),
    ],
)  # fmt: skip
def test_missing_files_of_a_theme_are_reported_at_their_place(folders, change, expected):
    change(folders.shared)
    lines = told(folders)
    assert any(line.startswith(expected) for line in lines), lines


@pytest.mark.parametrize(
    ("path", "mend"),
    [
        ("style.css", "move it to theme/styles/, where every style sheet joins the theme's"),
        ("ruler.css", "move it to theme/components/ruler/ruler.css"),
        ("icons/icn.svg", 'did you mean "icons/icon.svg"?'),
        ("components/rular/ruler-own.css", 'did you mean "components/ruler/ruler.css"?'),
        ("Pages/Condition.html", 'did you mean "pages/condition.html"?'),
        ("fonts/qqqq.xyz", "delete it; `sitegen help theme` lists the theme's files"),
    ],
)
def test_an_unused_own_file_is_reported_with_a_suggestion(folders, path, mend):
    write(folders.own / path, "")
    assert told(folders) == [
        f"theme/{path}: found a file that nothing of the theme answers to; expected a file in the place of one of "
        f"the theme, or one that another file of this folder names; to mend, {mend}"
    ]


def test_used_own_files_are_accepted(folders):
    """A file that replaces one, an added style sheet, a file that another names, and a README."""
    shutil.copytree(folders.shared / "components/ruler", folders.own / "components/ruler")
    write(folders.own / "styles/own.css", ".own { src: url(own.woff2) }")
    shutil.copy(next(folders.shared.glob("fonts/*.woff2")), folders.own / "styles/../own.woff2")
    (folders.own / "fonts").mkdir()
    (folders.own / "own.woff2").rename(folders.own / "fonts/own.woff2")
    page = (folders.shared / "pages/own.html").read_text("utf-8")
    write(folders.own / "pages/own.html", f'{page}{{% from "components/bolt/bolt.html" import bolt %}}\n')
    write(folders.own / "components/bolt/bolt.html", "{% macro bolt() %}{% endmacro %}")
    write(folders.own / "components/bolt/bolt.css", ".bolt { color: red }")
    write(folders.own / "README.md", "Ours.")
    write(folders.own / ".hidden", "")
    assert told(folders) == []


def test_a_missing_macro_is_reported_at_the_own_file(folders):
    write(folders.own / RULER, "{% macro ruler() %}{% endmacro %}")
    lines = told(folders)
    assert lines
    assert all(line.startswith(f"theme/{RULER}: found no such macro; expected the macro ruler_") for line in lines)


def test_a_theme_that_is_not_a_folder_is_reported(folders):
    folders.own.rmdir()
    folders.own.write_text("")
    assert told(folders) == [
        "theme: found a file; expected a folder of files of the theme; to mend, make it a folder"
    ]
