"""The programs beside Python that the tests use: which are missing, and how to get them. Standard library only."""

from __future__ import annotations

import importlib.util
import os
import re
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

JAVA_FROM = 17  # the Nu HTML checker needs it


def missing_tools() -> list[str]:
    """Return the Debian packages of all programs that are not there."""
    wanted = {
        # Debian's python3 leaves out what makes virtual environments.
        "python3-venv": importlib.util.find_spec("ensurepip") is not None,
        # Without a font of its own the browser draws empty boxes.
        "chromium fonts-dejavu-core": find_browser() is not None,
        "nodejs npm": bool(shutil.which("node") and shutil.which("npm")),
        "default-jre-headless": java_release() >= JAVA_FROM,
        "libimage-exiftool-perl": bool(shutil.which("exiftool")),
        "poppler-utils": bool(shutil.which("pdftoppm")),
        "nginx": find_program("nginx") is not None,
        "lighttpd lighttpd-mod-deflate": find_program("lighttpd") is not None,
        "apache2-bin media-types": find_program("apache2") is not None,
    }
    return [package for packages, there in wanted.items() if not there for package in packages.split()]


def find_browser() -> str | None:
    """Return the path of Chromium."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


def find_program(name: str) -> str | None:
    """Return the path of a host, which Debian keeps where only the administrator's PATH leads."""
    return shutil.which(name) or shutil.which(name, path="/usr/sbin")


def java_release() -> int:
    """Return the main number of the Java that is there, or 0."""
    if not shutil.which("java"):
        return 0
    answer = subprocess.run(["java", "-version"], capture_output=True, text=True).stderr
    found = re.search(r'version "(\d+)', answer)
    return int(found[1]) if found else 0


def provide(packages: Sequence[str]) -> bool:
    """Install missing packages if we may, or say how; return whether all is there now. Nothing is skipped."""
    if not packages:
        return True
    commands = [
        ["apt-get", "update", "-qq"],
        ["apt-get", "install", "-y", "-qq", "--no-install-recommends", *packages],
    ]
    if not (hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get")):
        print("Programs are missing that the tests cannot do without. On Debian or Ubuntu, install them with:")
        print(f"  sudo apt-get update && sudo {' '.join(commands[1])}")
        return False
    print(f"== Installing what is missing on this machine: {' '.join(packages)}", flush=True)
    for command in commands:
        print(f"   {' '.join(command)}", flush=True)
        environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        with Path(os.devnull).open("w") as quiet:
            if subprocess.run(command, env=environment, stdout=quiet).returncode:
                print(f"That did not work. The tests need: {' '.join(packages)}.")
                return False
    if still := missing_tools():
        print(f"Still missing or too old after installing: {' '.join(still)}.")
    return not still
