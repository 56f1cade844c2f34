"""How large a defect is, drawn beside a card as everybody carries one, both to the same scale.

Source of the card's size: ISO/IEC 7810, ID-1, 85.60 x 53.98 mm, as `content/reference/photo_limits.yaml` has it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from sitegen.pages.language.translator import Translator
from sitegen.photos.opening.limits import photo_limits

CARD_WIDTH, LONGEST, BAR, LINE = 60, 116, 12, 12
"""In the drawing's own units, 18 to a rem: the widest card, the longest bar, the heights of a bar and of a word."""
EDGE = 1
"""Half a stroke and a little more, so that none is cut off at the drawing's edge."""
ROOM_FOR_WORDS = 50
"""The narrowest card that the words for it fit into; beside a narrower one they stand at its side."""
ASIDE = 4
"""From a narrow card to the words at its side."""


@dataclass(frozen=True)
class CardWord:
    """A word of what the card is called, and its place: `x` as the drawing's `anchor` says, `y` amid its line."""

    text: str
    x: float
    y: float


@dataclass(frozen=True)
class SizeDrawing:
    """A bar as long as the defect above the outline of a card, in units of the drawing."""

    width: int
    height: int
    length: int
    card_width: int
    card_height: int
    card_radius: int
    """Of its corners."""
    card: tuple[CardWord, ...]
    """What the card is called, a word a line."""
    anchor: Literal["start", "middle"]
    """Which part of a word stands at its `x`, as SVG's `text-anchor` has it."""
    words: str
    """What the drawing shows, for who cannot see it."""
    left: int = EDGE
    card_top: int = BAR


def size_drawing(millimetres: Fraction, translator: Translator) -> SizeDrawing:
    """Return the drawing of a length: 85.6 mm is as long as the card, 60 of 60 units; 400 mm is 116, the card 25."""
    limits = photo_limits().card
    scale = min(CARD_WIDTH / limits.length, LONGEST / float(millimetres))
    length, card_width = max(round(float(millimetres) * scale), 2), max(round(limits.length * scale), 4)
    card_height = max(round(limits.width * scale), 3)
    is_wide = card_width >= ROOM_FOR_WORDS
    words = translator.say("size.card").split()
    width = LONGEST if not is_wide else max(length, card_width)
    below = max(card_height, len(words) * LINE)
    first = BAR + (below - (len(words) - 1) * LINE) / 2
    x = EDGE + (card_width / 2 if is_wide else card_width + ASIDE)
    return SizeDrawing(
        width=width + 2 * EDGE,
        height=BAR + below + 2 * EDGE,
        length=length,
        card_width=card_width,
        card_height=card_height,
        card_radius=3 if is_wide else 1,
        card=tuple(CardWord(word, x, first + line * LINE) for line, word in enumerate(words)),
        anchor="middle" if is_wide else "start",
        words=translator.say("size.beside_card"),
    )
