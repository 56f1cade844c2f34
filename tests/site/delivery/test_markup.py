"""The Nu HTML checker (the W3C's, validator.github.io/validator) finds nothing in any page or style sheet."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Iterable
from pathlib import Path

from tests.conftest import REPOSITORY

NOT_KNOWN_TO_THE_CHECKER = {
    *(
        f"CSS: “{name}”: Property “{name}” doesn't exist."
        for name in ("vector-effect", "position-area", "position-try-fallbacks", "container-type")
    ),
    *(f"CSS: Unrecognized at-rule “{name}”" for name in ("@container", "@position-try")),
}
"""They are there: SVG 2 (W3C Candidate Recommendation), section 8.13; CSS Anchor Positioning Level 1 (W3C Working
Draft), sections 3.1, 5.1 and 5.4; CSS Conditional Rules Level 5 (W3C Working Draft), container queries. The numbers
are from memory."""

ABOUT_THE_POLICY = "violates Content Security Policy"
"""The checker reads files, which have no origin for 'self', and takes blocks of data for scripts. A browser holds the
policy in test_viewer.py."""

CHECKER = REPOSITORY / "tests" / "node_modules" / "vnu-jar" / "build" / "dist" / "vnu.jar"


def faults_of_markup(files: Iterable[Path]) -> set[str]:
    """Return what the checker says of pages and style sheets, but for what it does not know."""
    command = ["java", "-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC", "-Xss4m"]
    command += ["-jar", str(CHECKER), "--format", "json", "--also-check-css", *map(str, files)]
    done = subprocess.run(command, capture_output=True, text=True)
    return {
        f"{message['url'].rpartition('published/')[2]}: {message['message']}"
        for message in json.loads(done.stderr)["messages"]
        if message["message"] not in NOT_KNOWN_TO_THE_CHECKER and ABOUT_THE_POLICY not in message["message"]
    }


def test_pages_and_style_sheets_have_no_error_and_no_warning(demo_site_built):
    files = [*demo_site_built.rglob("*.html"), *demo_site_built.rglob("*.css")]
    assert len(files) > 10
    assert not faults_of_markup(files)
