"""The size of a defect in words, and a scale bar over its photo, measured with a card in the photo.

A size in the record was measured on the vehicle and takes precedence. Without it, the first photo whose card gives a
size is used. If no card gives one, the page says why.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from sitegen.pages.language.translator import Translator
from sitegen.photos.card.plane import Plane, Point, distance, plane_of
from sitegen.photos.card.sizing import CardSize, NotMeasured, pixels, size_by_card
from sitegen.photos.opening.limits import CardLimits, photo_limits
from sitegen.photos.planning.pictures import Picture, Pictures
from sitegen.records.disclosure import Defect, DefectPhoto
from sitegen.records.figures import SizeUnit
from sitegen.records.quantities import MILLIMETRES_PER_INCH

BARS: Mapping[SizeUnit, tuple[tuple[Fraction, Fraction], ...]] = {
    SizeUnit.CENTIMETRES: tuple((Fraction(long), Fraction(step)) for long, step in ((10, 5), (50, 10), (100, 10))),
    SizeUnit.INCHES: tuple(
        (Fraction(long) * MILLIMETRES_PER_INCH, Fraction(step) * MILLIMETRES_PER_INCH)
        for long, step in ((Fraction(1, 2), Fraction(1, 4)), (2, Fraction(1, 2)), (4, 1))
    ),
}
"""The possible lengths of a scale bar, and the distance of its ticks, in millimeters, by the region's unit."""

Segment = tuple[int, int, int, int]


@dataclass(frozen=True)
class ScaleBarView:
    """A scale bar in the plane of the card, in pixels of the picture, with its length in words."""

    strokes: tuple[Segment, ...]
    """The bar, its ticks, and a short stroke at each end of the measured span, each as (x, y, x, y)."""
    words: str
    words_x: int
    words_y: int
    words_size: int


def size_words(defect: Defect, pictures: Pictures, stock: str, translator: Translator) -> str | None:
    """Return the size of a defect in words, or why its card gives none; None if nobody measured it."""
    if defect.size is not None:
        size = translator.formats.length(defect.size)
        return (
            size if defect.count is None else translator.say("size.count_and_largest", count=defect.count, size=size)
        )
    results = [_measured(photo, pictures.of(stock, photo.file)) for photo in defect.photos if photo.card]
    sizes = [card_size_words(size, translator) for size in results if isinstance(size, CardSize)]
    reasons = [translator.say(f"card.{reason}") for reason in results if isinstance(reason, NotMeasured)]
    count = [] if defect.count is None else [translator.say("size.count", count=defect.count)]
    return ". ".join([*count, *(sizes or reasons)[:1]]) or None


def size_in_millimetres(defect: Defect, pictures: Pictures, stock: str) -> Fraction | None:
    """Return the length of a defect, from the record or else from a card; None if nobody measured it."""
    if defect.size is not None:
        return defect.size.amount
    results = (_measured(photo, pictures.of(stock, photo.file)) for photo in defect.photos if photo.card)
    return next((Fraction(size.about) for size in results if isinstance(size, CardSize)), None)


def card_size_words(size: CardSize, translator: Translator) -> str:
    """Return a size measured with a card in words, with the ends of its interval rounded outward."""
    formats = translator.formats
    figures = {
        "about": f"{formats.number(Fraction(size.about))}\u00a0mm",
        "low": formats.number(math.floor(size.low)),
        "high": formats.number(math.ceil(size.high)),
    }
    if formats.units.size is not SizeUnit.INCHES:
        return translator.say("card.size", **figures)
    tenth = MILLIMETRES_PER_INCH / 10
    inches = {
        "inches": f"{formats.number(Fraction(size.about) / MILLIMETRES_PER_INCH, 1)}\u00a0in",
        "inches_low": formats.number(Fraction(math.floor(Fraction(size.low) / tenth), 10), 1),
        "inches_high": formats.number(Fraction(math.ceil(Fraction(size.high) / tenth), 10), 1),
    }
    return translator.say("card.size_in_inches", **figures, **inches)


def scale_bar(photo: DefectPhoto, picture: Picture, translator: Translator) -> ScaleBarView | None:
    """Return the scale bar of a photo, beside the measured span, on the side of the card if there is room.

    Return None if the photo's card gives no size or the bar does not fit into the picture.
    """
    size = _measured(photo, picture)
    if not isinstance(size, CardSize):
        return None
    card, span = _places(photo)
    limits = photo_limits().card
    scale = max(picture.width, picture.height) / 1600
    plane = plane_of(pixels(card, picture.width, picture.height), limits.length, limits.width)
    points = sorted(pixels(span, picture.width, picture.height))
    start, end = (plane.on_card(point) for point in points)
    bars = BARS[translator.formats.units.size]
    long, step = next((bar for bar in reversed(bars) if bar[0] <= size.about), bars[0])
    along = ((end[0] - start[0]) / size.about, (end[1] - start[1]) / size.about)
    for aside in _sides(start, along, size.about, limits):
        strokes, words = _strokes(plane, start, end, along, aside, float(long), float(step))
        text = max(picture.width, picture.height) * 0.05
        points = [(x * scale, y * scale) for stroke in strokes for x, y in stroke]
        place = _beyond(points, (words[0] * scale, words[1] * scale), text)
        if all(_inside(point, picture, text / 4) for point in points) and _inside(place, picture, text):
            drawn = tuple(
                (round(x), round(y), round(to_x), round(to_y))
                for (x, y), (to_x, to_y) in zip(points[::2], points[1::2], strict=True)
            )
            length = _bar_words(long, translator)
            return ScaleBarView(drawn, length, round(place[0]), round(place[1]), round(text))
    return None


def _sides(start: Point, along: Point, length: float, limits: CardLimits) -> Iterable[Point]:
    """Yield the offsets, in card millimeters, at which to try the scale bar beside the measured span.

    The side of the card comes first if there is room between card and span, else last.
    """
    across = (-along[1], along[0])
    away = start[0] * across[0] + start[1] * across[1]
    if away < 0:
        across, away = (along[1], -along[0]), -away
    far = min(max(0.15 * length, 10), 22)
    half_card = abs(across[0]) * limits.length / 2 + abs(across[1]) * limits.width / 2
    if away - half_card > 1.5 * far:
        yield (-across[0] * far, -across[1] * far)
    yield (across[0] * far, across[1] * far)
    yield (-across[0] * far, -across[1] * far)


def _strokes(
    plane: Plane, start: Point, end: Point, along: Point, aside: Point, long: float, step: float
) -> tuple[list[tuple[Point, Point]], Point]:
    """Return the strokes to draw and the middle of the bar, in pixels of a photo whose longer side has 1,600."""

    def at(far: float, part: float) -> Point:
        """Return the pixel of the point `far` millimeters along the span, moved by `part` of the bar's offset."""
        x, y = start[0] + along[0] * far + aside[0] * part, start[1] + along[1] * far + aside[1] * part
        return plane.in_photo((x, y))

    length = distance(start, end)
    ticks = [number * step for number in range(round(long / step) + 1)]
    marks = [(at(tick, 1), at(tick, 0.55 if tick in (0, ticks[-1]) else 0.78)) for tick in ticks]
    caps = [(at(place, 0.1), at(place, 0.38)) for place in (0, length)]
    return [(at(0, 1), at(long, 1)), *marks, *caps], at(long / 2, 1)


def _beyond(points: list[Point], middle: Point, text: float) -> Point:
    """Return the position of the bar's text: beside the bar, on the side that faces away from the span."""
    start, cap = points[0], points[-4]
    away = (start[0] - cap[0], start[1] - cap[1])
    long = distance(cap, start) or 1.0
    # Text is wider than high, so it needs more room beside a vertical bar than below a horizontal one.
    room = text * (0.75 + 0.7 * abs(away[0]) / long)
    return middle[0] + away[0] / long * room, middle[1] + away[1] / long * room


def _inside(point: Point, picture: Picture, margin: float) -> bool:
    return margin <= point[0] <= picture.width - margin and margin <= point[1] <= picture.height - margin


def _bar_words(long: Fraction, translator: Translator) -> str:
    formats = translator.formats
    if formats.units.size is SizeUnit.INCHES:
        return f"{formats.number(long / MILLIMETRES_PER_INCH, 1)}\u00a0in"
    return f"{formats.number(long / 10)}\u00a0cm"


def _measured(photo: DefectPhoto, picture: Picture) -> CardSize | NotMeasured | None:
    if photo.card is None:
        return None
    return size_by_card(*_places(photo), picture.width, picture.height, photo_limits().card)


def _places(photo: DefectPhoto) -> tuple[list[Point], list[Point]]:
    return [(spot.x, spot.y) for spot in photo.card or ()], [(spot.x, spot.y) for spot in photo.span or ()]
