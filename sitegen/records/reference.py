"""What every store shares and `content/reference/` lists: check points, kinds of defect, services."""

from __future__ import annotations

from sitegen.records.base import Record
from sitegen.records.disclosure import Affects, Station


class CheckPoint(Record):
    """A point that the walk-around looks at. Its key is what `checks:` names; its words are in the catalogs."""

    station: Station
    only_for: tuple[str, ...] = ()
    """Fuels, drives or bodies that have this point; empty means every vehicle."""
    important: bool = False
    """A buyer should know if it was not checked."""


class DefectKind(Record):
    """A kind of defect."""

    usually: Affects
    """What it affects as a rule; the record decides."""


class Catalogues(Record):
    """The names that records may use."""

    check_points: dict[str, CheckPoint]
    defect_kinds: dict[str, DefectKind]
    services: tuple[str, ...]
