"""Warn of cards in photos that give no size, or a size that contradicts the record. Pure."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from sitegen.photos.card.sizing import CardSize, NotMeasured, size_by_card
from sitegen.photos.opening.limits import CardLimits
from sitegen.records.disclosure import Defect, DefectPhoto
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import Store

# For each reason: the texts for `found`, `expected` and `mend` of a Problem.
WORDS = {
    NotMeasured.CROSSED: (
        "corners that cross over",
        "the corners in order round the card, a long side first",
        "write them in that order",
    ),
    NotMeasured.SMALL: (
        "a card too small in the photo to measure by",
        "{shorter_side_at_least:g} of 1,600 pixels or more on each side",
        "take the photo from nearer",
    ),
    NotMeasured.FLAT: (
        "a card seen too much from the side to measure by",
        "{seen_share_at_least:.0%} or more of its width to be seen",
        "take the photo straighter on",
    ),
    NotMeasured.FAR: (
        "a card too far from what is measured",
        "both ends within {card_lengths_at_most:g} card lengths of the card's center",
        "lay the card nearer, or measure it by hand and write the size",
    ),
    NotMeasured.UNCERTAIN: (
        "a size too rough to be told",
        "an uncertainty of {uncertain_share_at_most:.0%} at most",
        "take the photo from nearer, with the card close beside it",
    ),
}


def card_warnings(
    store: Store, sizes: Mapping[tuple[str, str], tuple[int, int]], limits: CardLimits
) -> Iterator[Problem]:
    """Yield a warning for each card that gives no size, and for each size that contradicts the record.

    `sizes` maps stock number and file of each usable photo to its width and height in pixels.
    """
    for vehicle in store.vehicles:
        for number, defect in enumerate(vehicle.record.defects, start=1):
            for place, photo in enumerate(defect.photos, start=1):
                size = sizes.get((vehicle.record.stock, photo.file))
                if photo.card and photo.span and size:
                    card_size = _size_in(photo, size, limits)
                    card_key = f"photos[{place}].card"
                    for key, words in _contradictions(card_size, defect, card_key, photo.file, limits):
                        where = f"defects[{number}].{key}"
                        yield Problem(vehicle.inspection_file, 0, 0, where, *words, Severity.WARNING)


def _size_in(photo: DefectPhoto, size: tuple[int, int], limits: CardLimits) -> CardSize | NotMeasured:
    card, span = ([(spot.x, spot.y) for spot in spots or ()] for spots in (photo.card, photo.span))
    return size_by_card(card, span, *size, limits)


def _contradictions(
    card_size: CardSize | NotMeasured, defect: Defect, card_key: str, file: str, limits: CardLimits
) -> Iterator[tuple[str, tuple[str, str, str]]]:
    """Yield the key and the texts (found, expected, mend) of the warning about one card, if there is one."""
    if isinstance(card_size, NotMeasured):
        found, expected, mend = WORDS[card_size]
        yield card_key, (found, expected.format(**limits.model_dump()), mend)
    elif defect.size is not None and not card_size.low <= defect.size.millimetres <= card_size.high:
        expected = f"{math.floor(card_size.low)} to {math.ceil(card_size.high)} mm, by the card in {file}"
        mend = "measure it again, or delete the size and let the card tell it"
        yield "size", (defect.size.written, expected, mend)
