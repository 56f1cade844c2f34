"""The test command: `python3 -m tests` installs what it needs, then checks format, code, types and the site."""

from __future__ import annotations

import hashlib
import subprocess
import sys
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.machine import missing_tools, provide

REPOSITORY = Path(__file__).resolve().parent.parent
ENVIRONMENT = REPOSITORY / ".venv"
CHECKERS = REPOSITORY / "tests"
PROGRAMS = ENVIRONMENT / ("Scripts" if sys.platform == "win32" else "bin")
PYTHON = PROGRAMS / "python"
BIOME = CHECKERS / "node_modules" / "@biomejs" / "biome" / "bin" / "biome"
TYPESCRIPT = CHECKERS / "node_modules" / "typescript" / "bin" / "tsc"

QUICK = (
    *("tests/records", "tests/reading", "tests/condition", "tests/pages", "tests/test_architecture.py"),
    *("tests/test_structure.py", "-m", "not slow"),
)
"""What `quick` gives to pytest. `tests/conftest.py` marks the tests that are slow."""


def main(arguments: Sequence[str]) -> int:
    """Prepare, run every step even if another one fails, and print which did not pass."""
    if not provide(missing_tools()):
        return 1
    prepare_python()
    prepare_checkers()
    quick = [*arguments[:1]] == ["quick"]
    wanted = [*QUICK, *arguments[1:]] if quick else [*arguments]
    steps: dict[str, list[str | Path]] = {
        "format": [PROGRAMS / "ruff", "format", "--check", "--quiet", "."],
        "code": [PROGRAMS / "ruff", "check", "--quiet", "."],
        "types": [PYTHON, "-m", "mypy"],
        "format of scripts": ["node", BIOME, "format", "--log-level=warn", "."],
        "code of scripts": ["node", BIOME, "lint", "--error-on-warnings", "--log-level=warn", "."],
        "types of scripts": ["node", TYPESCRIPT, "--project", CHECKERS],
    }
    with ThreadPoolExecutor(1) as beside:
        checks = {} if quick else {name: beside.submit(checked, command) for name, command in steps.items()}
        say("Running the tests" if quick else f"Running the tests and, beside them: {', '.join(steps)}")
        tests = subprocess.run([PYTHON, "-m", "pytest", "-n", "auto", *wanted], cwd=REPOSITORY)
        failed = [] if tests.returncode == 0 else ["tests"]
        for name, check in checks.items():
            if check.result().returncode != 0:
                say(f"Checking: {name}")
                print(check.result().stdout, flush=True)
                failed.append(name)
    print(f"Did not pass: {', '.join(failed)}." if failed else "All passed.")
    return 1 if failed else 0


def prepare_python() -> None:
    """Make the virtual environment and install the project with its test extra, unless that has been done."""

    def install() -> None:
        say(f"Making {ENVIRONMENT.name} and installing the project and its test tools")
        subprocess.run([sys.executable, "-m", "venv", "--clear", ENVIRONMENT], check=True)
        pip: list[str | Path] = [PYTHON, "-m", "pip", "--disable-pip-version-check", "--quiet"]
        subprocess.run([*pip, "install", "--editable", ".[tests]"], cwd=REPOSITORY, check=True)

    made_for = (REPOSITORY / "pyproject.toml").read_bytes() + sys.version.encode() + str(REPOSITORY).encode()
    once(install, ENVIRONMENT / ".made-for", made_for)


def prepare_checkers() -> None:
    """Install the checkers of pages, unless that has been done. Their install scripts are not run."""

    def install() -> None:
        say("Installing the checkers of pages into tests/node_modules")
        command = ["npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error"]
        subprocess.run(command, cwd=CHECKERS, check=True)

    once(install, CHECKERS / "node_modules" / ".made-for", (CHECKERS / "package-lock.json").read_bytes())


def once(install, stamp: Path, made_for: bytes) -> None:
    """Run an action unless the stamp file shows that it was done for exactly this input."""
    wanted = hashlib.sha256(made_for).hexdigest()
    if not stamp.is_file() or stamp.read_text() != wanted:
        install()
        stamp.write_text(wanted)


def checked(command: Sequence[str | Path]) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command, cwd=REPOSITORY, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)


def say(words: str) -> None:
    print(f"== {words}", flush=True)


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except subprocess.CalledProcessError as fault:
        sys.exit(f"This command failed: {' '.join(map(str, fault.cmd))}")
    except KeyboardInterrupt:
        sys.exit(130)
