"""First lines of public docstrings say what is returned or done, without the phrases that readers read twice."""

from __future__ import annotations

import ast
import re
from pathlib import Path

from tests.conftest import REPOSITORY

UNCLEAR = re.compile(r"^(What|Tell|Say)\b|\bwhat came of\b|\bthose that were\b|\bof which\b", re.IGNORECASE)


def first_lines(module: Path) -> list[str]:
    kinds = ast.Module | ast.ClassDef | ast.FunctionDef
    nodes = [node for node in ast.walk(ast.parse(module.read_text("utf-8"))) if isinstance(node, kinds)]
    public = [node for node in nodes if not getattr(node, "name", "").startswith("_")]
    return [(ast.get_docstring(node) or "").partition("\n")[0] for node in public]


def test_first_lines_of_docstrings_are_plain():
    modules = sorted((REPOSITORY / "sitegen").rglob("*.py"))
    unclear = [f"{module.name}: {line}" for module in modules for line in first_lines(module) if UNCLEAR.search(line)]
    assert unclear == []
