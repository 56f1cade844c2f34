"""Words that a language lacks are problems with a place and a way to mend them, and never a traceback.

No outside source. Each case takes words out of a copy of `content/` and runs the real command on it.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.builders import write_store
from tests.conftest import REPOSITORY


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A copy of the program and its data."""
    for folder in ("sitegen", "content", "themes"):
        shutil.copytree(REPOSITORY / folder, tmp_path / folder)
    return tmp_path


def edited(file: Path, change: Callable[[str], str]) -> None:
    before = file.read_text("utf-8")
    after = change(before)
    assert after != before
    file.write_text(after, "utf-8")


def without_message(key: str) -> Callable[[str], str]:
    return lambda text: re.sub(
        rf'\n(?:#.*\n)*msgid "{re.escape(key)}"\n(?:msgid_plural.*\n)?(?:msgstr.*\n)+', "\n", text
    )


def problems(copy: Path, command: str, **settings: object) -> list[str]:
    """Run a command on a store with the copied program. Return its problems about `content/`, in their order."""
    store = write_store(copy / "store", [{}], settings=settings)
    ran = subprocess.run(
        [sys.executable, "-m", "sitegen", command, str(store)], cwd=copy, capture_output=True, text=True
    )
    assert ran.returncode == 1, ran.stdout + ran.stderr
    assert "Traceback" not in ran.stderr
    assert not (store / "published").exists()
    return [line for line in ran.stderr.splitlines() if line.startswith("content/")]


def test_all_missing_messages_are_reported_at_once_with_their_catalogs(copy: Path):
    edited(copy / "content/es/vehicle/measured.po", without_message("tires.heading"))
    edited(copy / "content/es/vehicle/defects.po", without_message("affects.looks"))
    edited(copy / "content/es/frame.po", without_message("nav.label"))
    told = problems(copy, "build", languages=["en", "es"])
    assert len(told) == 3
    assert told[2] == (
        "content/es/vehicle/measured.po: tires.heading: found no message; expected a message for this key; "
        'to mend, add msgid "tires.heading" and its msgstr'
    )


def test_a_message_missing_in_all_languages_belongs_to_the_catalog_of_its_prefix(copy: Path):
    for language in ("en", "es"):
        edited(copy / f"content/{language}/vehicle/identity.po", without_message("body.suv"))
    (told,) = problems(copy, "build")
    assert told.startswith("content/en/vehicle/identity.po: body.suv: found no message;")


@pytest.mark.parametrize(
    ("file", "change", "told"),
    [
        (
            "content/en/terms/words.yaml",
            lambda text: re.sub(r"(?m)^tread:.*\n", "", text),
            "content/en/terms/words.yaml: tread: found nothing; expected the phrases of this explained word; "
            'to mend, add "tread: [...]" with its phrases, or [] if it is never in a sentence',
        ),
        (
            "content/en/frame.po",
            lambda text: text.replace('msgid "nav.label"', "msgid nav.label"),
            "content/en/frame.po:",
        ),
        (
            "content/en/frame.po",
            lambda text: f'{text}\nmsgid "bay.title"\nmsgstr "Twice"\n',
            "content/en/frame.po: bay.title: found a message that another catalog has too; "
            "expected each message in one catalog; to mend, delete one of them",
        ),
        (
            "content/en/frame.po",
            lambda text: re.sub(r"plural=\(?[^;]*;", "plural=0;", text),
            "content/en: found Plural-Forms:",
        ),
    ],
)
def test_an_error_in_a_catalog_or_explainer_is_reported_at_its_place(copy: Path, file, change, told):
    edited(copy / file, change)
    (line,) = problems(copy, "build")
    assert line.startswith(told)


@pytest.mark.parametrize("folder_and_name", [("terms", "tread"), ("texts", "cautions")])
def test_a_missing_term_or_text_is_reported_with_its_file(copy: Path, folder_and_name):
    folder, name = folder_and_name
    (copy / f"content/en/{folder}/{name}.md").unlink()
    (told,) = problems(copy, "build")
    assert told.startswith(
        f"content/en/{folder}/{name}.md: found no such file; expected a file that every language has"
    )


def test_an_unknown_figure_in_a_message_is_reported_with_the_known_ones(copy: Path):
    edited(
        copy / "content/en/frame.po",
        lambda text: text.replace("{page} | {store}", "{pages} | {store}"),
    )
    (told,) = problems(copy, "build")
    assert "found the figure {pages}; expected one of {" in told


def test_a_missing_message_of_a_stores_template_is_reported_at_its_line(copy: Path):
    store = write_store(copy / "store", [{}])
    own = store / "theme/pages/condition.html"
    own.parent.mkdir(parents=True)
    shutil.copyfile(copy / "themes/daylight/pages/condition.html", own)
    edited(own, lambda text: text.replace('say("', 'say("no.such_'))
    ran = subprocess.run(
        [sys.executable, "-m", "sitegen", "build", str(store)], cwd=copy, capture_output=True, text=True
    )
    assert ran.returncode == 1
    assert re.search(
        r"^theme/pages/condition\.html:\d+:1: found words that content/ does not have: no\.such_", ran.stderr, re.M
    )
