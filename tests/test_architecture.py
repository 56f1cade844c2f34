"""Who may import whom. Source: the table in DEVELOPERS.md."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import REPOSITORY

PACKAGE = REPOSITORY / "sitegen"
ROOMS = {
    "engine": set(),
    "records": set(),
    "reading": {"records", "engine"},
    "intake": {"records", "reading", "photos"},
    "condition": {"records"},
    "photos": {"records", "engine"},
    "film": {"records", "engine"},
    "pages": {"records", "condition", "photos", "engine"},
    "publishing": {"records", "pages"},
    "ledger": {"records", "pages"},
    "commands": {
        *("engine", "records", "reading", "intake", "condition", "photos", "film", "pages", "publishing", "ledger"),
    },
}
GROUPS = {
    # Each group names the groups of its own room that it may import; a room's own files, "", stand above them all.
    "reading": {
        "yaml": set(),
        "validation": {"yaml"},
        "reference": {"validation"},
        "checks": {"yaml", "validation"},
        "video": {"yaml", "validation", "checks"},
        "contradictions": {"yaml", "validation", "checks"},
        "": {"yaml", "validation", "reference", "checks", "video", "contradictions"},
    },
    "intake": {
        "zips": set(),
        "": {"zips"},
        "inbox": {"", "zips"},
    },
    "condition": {
        "basis": set(),
        "outlook": {"basis"},
        "since": {"basis"},
        "tires": {"basis", "outlook", "since"},
        "brakes": {"basis", "outlook", "since"},
        "batteries_fluids_body": {"basis", "outlook"},
        "services": {"basis", "outlook", "batteries_fluids_body"},
        "danger": set(),
        "standing": {"basis", "since", "tires", "brakes", "batteries_fluids_body", "danger"},
        "": {"basis", "since", "outlook", "tires", "brakes", "batteries_fluids_body", "services", "standing"},
    },
    "photos": {
        "planning": set(),
        "opening": {"planning"},
        "deriving": {"planning", "opening"},
        "card": {"planning", "opening"},
        "": {"planning", "opening", "deriving", "card"},
    },
    "pages": {
        "language": set(),
        "frame": {"language"},
        "vehicle/measured": {"language", "frame"},
        "vehicle/defects": {"language", "frame", "vehicle/measured"},
        "vehicle/buying": {"language", "frame", "vehicle/defects"},
        "kept": {"language", "frame"},
        "vehicle": {"language", "frame", "kept", "vehicle/measured", "vehicle/defects", "vehicle/buying"},
        "vehicle/shared": {"language", "frame", "vehicle", "vehicle/measured", "vehicle/defects"},
        "print": {"language", "frame", "vehicle", "vehicle/measured", "vehicle/defects"},
        "bay": {"language", "frame"},
        "desk": {
            *("language", "frame", "print", "vehicle", "vehicle/measured", "vehicle/defects", "vehicle/shared"),
        },
        "inventory": {
            *("language", "frame", "kept", "vehicle", "vehicle/measured", "vehicle/defects", "vehicle/shared"),
            "vehicle/buying",
        },
        "": {"language", "frame", "kept", "vehicle", "vehicle/shared", "print", "inventory"},
        # The component page shows whatever there is, so it may look into every group, and none looks into it.
        "gallery": {
            *("", "language", "frame", "kept", "print", "inventory"),
            *("vehicle", "vehicle/measured", "vehicle/defects", "vehicle/shared"),
        },
    },
    "commands": {
        "tasks": set(),
        "shared": {"tasks"},
        "previous": {"shared"},
        "serving": {"shared"},
        "topics": set(),
        "": {"shared", "previous", "serving", "topics"},
    },
}  # fmt: skip
PURE = ("records", "condition")
TOUCHING = {"os", "io", "pathlib", "subprocess", "socket", "time", "sqlite3", "shutil", "tempfile", "urllib", "http"}
MODULES = sorted(PACKAGE.rglob("*.py"))


def imports(module: Path) -> Iterator[str]:
    """Yield the full name of every module that a file imports, wherever in the file."""
    for node in ast.walk(ast.parse(module.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module} imports by a relative name"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def room_of(module: Path) -> str | None:
    inside = module.relative_to(PACKAGE).parts
    return inside[0] if len(inside) > 1 else None


def test_every_room_is_in_the_table():
    assert {entry.parent.name for entry in PACKAGE.glob("*/__init__.py")} == set(ROOMS)


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_imports_only_what_the_table_allows(room):
    wrong = [
        f"{module.relative_to(REPOSITORY)} imports {name}"
        for module in MODULES
        if room_of(module) == room
        for name in imports(module)
        if name.startswith("sitegen.") and name.split(".")[1] in set(ROOMS) - ROOMS[room] - {room}
    ]
    assert not wrong


def group_of(module: Path) -> str:
    """Return the group within its room that a module lies in, such as `vehicle/defects`."""
    return "/".join(module.relative_to(PACKAGE).parts[1:-1])


def group_imported(name: str) -> tuple[str, str]:
    """Return room and group of the module that an import names, by itself or with what is taken from it."""
    parts = name.split(".")[1:]
    while parts and not (PACKAGE.joinpath(*parts).is_dir() or PACKAGE.joinpath(*parts).with_suffix(".py").is_file()):
        parts.pop()
    place = PACKAGE.joinpath(*parts)
    return parts[0] if parts else "", "/".join(parts[1:] if place.is_dir() else parts[1:-1])


@pytest.mark.parametrize("room", GROUPS)
def test_a_group_imports_only_what_the_table_allows(room):
    """Arrows between the groups of a room run one way: each names all that it may import."""
    groups = GROUPS[room]
    assert {group_of(module) for module in MODULES if room_of(module) == room} == set(groups)
    assert not [(one, other) for one in groups for other in groups[one] if one in groups[other]]
    wrong = [
        f"{module.relative_to(REPOSITORY)} imports {name}"
        for module in MODULES
        if room_of(module) == room
        for name in imports(module)
        if name.startswith(f"sitegen.{room}.")
        and group_imported(name)[1] not in groups[group_of(module)] | {group_of(module)}
    ]
    assert not wrong


@pytest.mark.parametrize("room", PURE)
def test_a_pure_room_does_no_input_or_output(room):
    """Types and computing get limits and today's date as arguments. `pathlib` in a type is a name, not an act."""
    allowed = {"pathlib"} if room == "records" else set()
    wrong = [
        f"{module.relative_to(REPOSITORY)} imports {name}"
        for module in MODULES
        if room_of(module) == room
        for name in imports(module)
        if name.split(".")[0] in TOUCHING - allowed
    ]
    assert not wrong


def test_no_module_imports_data_or_tests():
    names = {name.split(".")[0] for module in MODULES for name in imports(module)}
    assert not names & {"content", "themes", "tests", "demo_site"}


ACTS = {
    *("open", "read_text", "read_bytes", "write_text", "write_bytes", "stat", "lstat", "exists", "is_file", "is_dir"),
    *("iterdir", "glob", "rglob", "scandir", "listdir", "walk", "unlink", "mkdir", "rename", "replace", "resolve"),
    *("now", "today", "time", "run", "Popen", "getenv"),
}
"""Names of calls that read or write files, the clock, programs or the environment."""
READS = {"file", "tree"}
"""Methods of the reader that return a path whose content they record."""


def acts_of_tasks(source: str) -> Iterator[str]:
    """Yield each call of a task that reads or writes anything itself, and not through its reader."""
    for function in ast.walk(ast.parse(source)):
        if not isinstance(function, ast.FunctionDef) or not any(
            isinstance(decorator, ast.Call) and ast.unparse(decorator.func) == "task"
            for decorator in function.decorator_list
        ):
            continue
        reader = function.args.args[0].arg
        paths = {
            target.id
            for node in ast.walk(function)
            if isinstance(node, ast.Assign) and _is_tracked(node.value, reader)
            for target in node.targets
            if isinstance(target, ast.Name)
        }
        for call in ast.walk(function):
            if not isinstance(call, ast.Call):
                continue
            name = call.func.attr if isinstance(call.func, ast.Attribute) else ast.unparse(call.func)
            owner = call.func.value if isinstance(call.func, ast.Attribute) else None
            is_own = isinstance(owner, ast.Name) and owner.id in paths | {reader}
            if name in ACTS and not is_own and not (owner and _is_tracked(owner, reader)):
                yield f"{function.name} calls {ast.unparse(call)}"


def _is_tracked(value: ast.expr, reader: str) -> bool:
    return (
        isinstance(value, ast.Call)
        and isinstance(value.func, ast.Attribute)
        and value.func.attr in READS
        and ast.unparse(value.func.value) == reader
    )


def test_tasks_read_only_through_their_reader():
    """That what a task calls opens nothing else is tested under audit, in tests of each task."""
    found = [
        f"{module.relative_to(REPOSITORY)}: {act}"
        for module in MODULES
        for act in acts_of_tasks(module.read_text("utf-8"))
    ]
    assert not found
    tasks = [module for module in MODULES if "@task(" in module.read_text("utf-8")]
    assert {module.name for module in tasks} >= {"vehicle_task.py", "tasks.py", "record.py", "pages.py", "places.py"}


@pytest.mark.parametrize(
    ("line", "is_right"),
    [
        ("read.file('a').read_bytes()", True),
        ("path.read_bytes()", True),
        ("read.today", True),
        ("other.read_bytes()", False),
        ("open('a')", False),
        ("date.today()", False),
    ],
)
def test_an_untracked_read_in_a_task_is_found(line: str, is_right: bool):
    source = f"@task(BYTES)\ndef page(read, key):\n    path = read.file(key)\n    return {line}\n"
    assert (not list(acts_of_tasks(source))) == is_right
