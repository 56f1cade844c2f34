"""How a record answers what could hurt somebody: a repair, or the reason why nobody can be hurt."""

from __future__ import annotations

from enum import StrEnum

from sitegen.records.base import LocalizedText, Record


class Repair(StrEnum):
    """How a fault was put right, or will be."""

    REPLACED = "replaced"
    REPAIRED = "repaired"
    REMOVED = "removed"


class Harmless(Record):
    """Words of the record that sound dangerous, and why nobody can be hurt. The page shows both."""

    words: LocalizedText
    """The words, as the record has them, or the path of a figure: `tires.left_front.pressure`."""
    because: LocalizedText
    """Why nobody can be hurt."""
