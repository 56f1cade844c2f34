"""The drawing that compares a defect's length with a bank card: a bar above the card's outline, to the same scale.

The card's size is ISO/IEC 7810, ID-1, 85.60 x 53.98 mm, from `content/reference/photos.yaml`.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from sitegen.pages.language.translator import Translator
from sitegen.photos.opening.limits import photo_limits

CARD_WIDTH, LONGEST, BAR, LINE = 60, 116, 12, 12
"""The widest card, the longest bar, and the heights of a bar and of a line of text, in units of the drawing (18 a
rem)."""
EDGE = 1
"""Margin of the drawing: a little more than half a stroke, so that no stroke is cut off."""
ROOM_FOR_WORDS = 50
"""The smallest width of a card that holds its label. The label of a narrower card is beside it."""
ASIDE = 4
"""Distance from a narrow card to the label beside it."""


@dataclass(frozen=True)
class CardWord:
    """One word of the card's label. `x` is the text anchor's position, `y` is the middle of its line."""

    text: str
    x: float
    y: float


@dataclass(frozen=True)
class SizeDrawing:
    """A bar as long as the defect, above the outline of a card. All lengths are in units of the drawing."""

    width: int
    height: int
    length: int
    card_width: int
    card_height: int
    card_radius: int
    """Radius of the card's corners."""
    card: tuple[CardWord, ...]
    """The card's label, one word a line."""
    anchor: Literal["start", "middle"]
    """The `text-anchor` of the label's words in SVG."""
    words: str
    """The text alternative of the drawing."""
    left: int = EDGE
    card_top: int = BAR


def size_drawing(millimetres: Fraction, translator: Translator) -> SizeDrawing:
    """Return the drawing of a length in millimeters.

    At 85.6 mm, bar and card are both 60 units long. At 400 mm, the bar is 116 units long and the card 25.
    """
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
