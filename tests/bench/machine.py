"""The date, machine and versions of a measurement."""

from __future__ import annotations

import os
import platform
from datetime import UTC, datetime
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from PIL import features

PACKAGES = ("pillow", "pillow-heif", "pyvips", "scikit-image", "distributed")


def machine_lines() -> list[str]:
    """Return the date, the machine and the versions, one line each."""
    codecs = ", ".join(f"{name} {features.version(name)}" for name in ("libjpeg_turbo", "avif", "webp"))
    packages = ", ".join(f"{name} {_version(name)}" for name in PACKAGES)
    load = f", load {os.getloadavg()[0]:.1f} at the start" if hasattr(os, "getloadavg") else ""
    return [
        f"Measured {datetime.now(UTC):%Y-%m-%d %H:%M} UTC",
        f"on {_processor()}, {os.cpu_count()} cores{load}",
        f"with Python {platform.python_version()}, {packages}",
        f"and in Pillow {codecs}",
    ]


def _processor() -> str:
    information = Path("/proc/cpuinfo")
    lines = information.read_text().splitlines() if information.exists() else []
    named = [line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")]
    return named[0] if named else platform.processor() or platform.machine()


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return "absent"
