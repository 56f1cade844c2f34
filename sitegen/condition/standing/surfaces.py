"""Which standing facts each surface of the site shows, by their harm.

.docs/salesperson.md has the same table in words.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum

from sitegen.condition.basis.facts import Harm, StandingFact
from sitegen.records.standing.rules import Rule


class Surface(StrEnum):
    """A place where a buyer, or a program, reads about a vehicle."""

    FIRST_SCREEN = "first screen and comparison"
    SUMMARY = "summary and share text"
    SHARE_PICTURE = "share picture"
    TO_DO = "to-do list of the desk"
    CARD = "list card, feed and filters"
    SHEETS = "window, disclosure and mechanic's sheet"
    DATA = "inventory.csv"
    JSON_LD = "JSON-LD and inventory.json"


_BROKEN = frozenset({Harm.CAN_HURT, Harm.CAN_STRAND, Harm.WORKS_LESS_WELL})
SHOWN: Mapping[Surface, frozenset[Harm]] = {
    Surface.FIRST_SCREEN: _BROKEN | {Harm.UNKNOWN, Harm.LOOKS},
    Surface.SUMMARY: _BROKEN | {Harm.PAPERS, Harm.LOOKS},
    Surface.SHARE_PICTURE: _BROKEN | {Harm.PAPERS},
    Surface.TO_DO: _BROKEN,
    Surface.CARD: _BROKEN | {Harm.UNKNOWN, Harm.LOOKS},
    Surface.SHEETS: _BROKEN | {Harm.UNKNOWN, Harm.LOOKS},
    Surface.DATA: _BROKEN | {Harm.UNKNOWN, Harm.LOOKS},
    Surface.JSON_LD: _BROKEN | {Harm.LOOKS},
}
"""The harms that each surface shows. Pages show papers in a line of their own; JSON-LD has damage only."""


BELOW_FIRST_WORDS = frozenset({Surface.FIRST_SCREEN, Surface.SHEETS})
"""Surfaces that begin with the gate's first words, so that the facts in those are not repeated."""


def shown_on(surface: Surface, facts: Iterable[StandingFact]) -> tuple[StandingFact, ...]:
    """Return the facts that a surface shows, in their order. Facts that a promise answers are left out."""
    return tuple(
        fact
        for fact in facts
        if fact.is_open
        and fact.harm in SHOWN[surface]
        and not (surface in BELOW_FIRST_WORDS and fact.rule is not Rule.LIST)
    )
