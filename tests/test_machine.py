"""On a machine without the browser and other programs, the test command says what to install, and fails."""

from __future__ import annotations

import subprocess
import sys

from tests.conftest import REPOSITORY


def test_missing_programs_are_named_with_the_command_that_installs_them_and_nothing_is_skipped(tmp_path):
    """With an empty search path nothing is found, and there is no package tool that could be used."""
    done = subprocess.run(
        [sys.executable, "-m", "tests"], cwd=REPOSITORY, env={"PATH": str(tmp_path)}, capture_output=True, text=True
    )
    assert done.returncode == 1
    assert done.stderr == ""
    words, command = done.stdout.splitlines()
    assert words.startswith("Programs are missing that the tests cannot do without.")
    assert command.strip() == (
        "sudo apt-get update && sudo apt-get install -y -qq --no-install-recommends chromium fonts-dejavu-core "
        "nodejs npm default-jre-headless libimage-exiftool-perl poppler-utils"
    )
