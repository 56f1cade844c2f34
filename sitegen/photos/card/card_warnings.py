"""What the store is told of cards in its photos: where one gives no size, or another than the record. Pure."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from sitegen.photos.card.sizing import CardSize, NotMeasured, size_by_card
from sitegen.photos.opening.limits import CardLimits
from sitegen.records.disclosure import Defect, DefectPhoto
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import Store

# For each reason: what was found, what is expected, and how to mend it.
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
    """Yield a warning for each card that gives no size, or another than the record's.

    `sizes` are width and height of each photo that can be used, in pixels, by stock number and file.
    """
    for vehicle in store.vehicles:
        for number, defect in enumerate(vehicle.record.defects, start=1):
            for place, photo in enumerate(defect.photos, start=1):
                size = sizes.get((vehicle.record.stock, photo.file))
                if photo.card and photo.span and size:
                    found = _size_in(photo, size, limits)
                    for key, words in _unlike(found, defect, f"photos[{place}].card", photo.file, limits):
                        where = f"defects[{number}].{key}"
                        yield Problem(vehicle.inspection_file, 0, 0, where, *words, Severity.WARNING)


def _size_in(photo: DefectPhoto, size: tuple[int, int], limits: CardLimits) -> CardSize | NotMeasured:
    card, span = ([(spot.x, spot.y) for spot in spots or ()] for spots in (photo.card, photo.span))
    return size_by_card(card, span, *size, limits)


def _unlike(
    found: CardSize | NotMeasured, defect: Defect, card: str, file: str, limits: CardLimits
) -> Iterator[tuple[str, tuple[str, str, str]]]:
    if isinstance(found, NotMeasured):
        what, expected, mend = WORDS[found]
        yield card, (what, expected.format(**limits.model_dump()), mend)
    elif defect.size is not None and not found.low <= defect.size.millimetres <= found.high:
        expected = f"{math.floor(found.low)} to {math.ceil(found.high)} mm, by the card in {file}"
        mend = "measure it again, or delete the size and let the card tell it"
        yield "size", (defect.size.written, expected, mend)
