"""Read the names that records and price lists may use, and the plausible ranges, from `content/reference/`."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from sitegen.reading.reference.reference_files import read_reference
from sitegen.records.reference import CheckPoints, DefectKinds, PlausibleFigures, ServiceKeys, Vocabulary, WalkLists


@cache
def read_vocabulary(content: Path) -> Vocabulary:
    """Return the check points, kinds of defect and services. Cached. Raises ValueError if a file is invalid."""
    services = read_reference(ServiceKeys, content, "services.yaml")
    return Vocabulary(
        check_points=read_reference(CheckPoints, content, "check_points.yaml").root,
        defect_kinds=read_reference(DefectKinds, content, "defect_kinds.yaml").root,
        services=(*services.scheduled, *services.by_looking),
        prices=(*services.scheduled, *services.by_looking, *services.priced),
        outlook_lines=(*services.scheduled, *services.by_looking, *services.worn),
        services_not_for=services.not_for,
        walk_lists=read_reference(WalkLists, content, "walk_lists.yaml"),
    )


def read_plausible(content: Path) -> PlausibleFigures:
    """Return the plausible ranges of readings. Raises ValueError if the file is invalid."""
    return read_reference(PlausibleFigures, content, "plausible.yaml")
