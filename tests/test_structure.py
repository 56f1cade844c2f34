"""The files of the top level and of each folder, the length of modules, and their docstrings."""

from __future__ import annotations

import ast
import subprocess
from collections import Counter
from pathlib import Path

from tests.conftest import REPOSITORY

PACKAGE = REPOSITORY / "sitegen"
MODULES = sorted(PACKAGE.rglob("*.py"))
MOST_FILES_OF_A_FOLDER = 14


def tracked_files() -> list[str]:
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=REPOSITORY, check=True, capture_output=True, text=True)
    return [path for path in listed.stdout.split("\0") if path]


def test_no_folder_has_more_than_14_modules():
    folders = Counter(module.parent for module in MODULES if module.name != "__init__.py")
    assert not {str(folder): count for folder, count in folders.items() if count > MOST_FILES_OF_A_FOLDER}


def test_no_catalog_has_more_than_600_lines():
    catalogs = (REPOSITORY / "content").rglob("*.po")
    lengths = {str(catalog): len(catalog.read_text("utf-8").splitlines()) for catalog in catalogs}
    assert not {name: length for name, length in lengths.items() if length > 600}


def test_no_class_name_is_used_twice():
    names = Counter(
        node.name
        for module in MODULES
        for node in ast.parse(module.read_text("utf-8")).body
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_")
    )
    assert not [name for name, count in names.items() if count > 1]


def test_content_and_themes_hold_no_python():
    assert not [path for path in tracked_files() if path.startswith(("content/", "themes/")) and path.endswith(".py")]


def test_the_top_level_holds_what_the_plan_names_and_nothing_else():
    top = {path.split("/")[0] for path in tracked_files()}
    assert {name for name in top if not name.startswith(".")} == {
        "DEVELOPERS.md",
        "README.md",
        "content",
        "demo_site",
        "pyproject.toml",
        "sitegen",
        "tests",
        "themes",
    }


def test_no_module_is_longer_than_400_lines_or_named_for_anything():
    lengths = {str(module.relative_to(PACKAGE)): len(module.read_text("utf-8").splitlines()) for module in MODULES}
    assert not {name: length for name, length in lengths.items() if length > 400}
    assert not {name for name in lengths if Path(name).stem in ("utils", "helpers", "common", "misc")}


def test_every_module_has_a_docstring():
    assert not [str(module) for module in MODULES if not ast.get_docstring(ast.parse(module.read_text("utf-8")))]


def test_no_lock_file_names_a_registry():
    """A clone must install from whatever registry its machine is set to."""
    locks = [file for file in (REPOSITORY / "tests").rglob("package-lock.json") if "node_modules" not in file.parts]
    assert len(locks) == 2
    for lock in locks:
        assert '"resolved"' not in lock.read_text("utf-8"), lock
