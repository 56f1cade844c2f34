"""Read the reference figures that ship with the generator. A fault in them is our own mistake, and raises."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

from sitegen.records.figures import Figures

FILES = ("tires", "brakes", "fluids", "batteries", "intervals", "body")


def read_figures(content: Path, region: str) -> Figures:
    """Return the figures of `content/reference/`, with the limits and units of one region.

    Raises OSError if a file is missing, and ValidationError if one does not fit its type.
    """
    reference = content / "reference"
    parts: dict[str, Any] = {name: _read(reference / f"{name}.yaml") for name in FILES}
    return Figures.model_validate({**parts, "region": _read(reference / "regions" / f"{region}.yaml")})


def _read(path: Path) -> Any:
    return yaml.safe_load(path.read_text(encoding="utf-8"))
