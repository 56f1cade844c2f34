"""The view of a photo: its candidate pictures, its caption, and the mark drawn over it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sitegen.pages.frame.addresses import Address
from sitegen.pages.language.translator import Text, Translator
from sitegen.pages.vehicle.defects.card_sizes import ScaleBarView, scale_bar
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.disclosure import Arrow, Box, Circle, DefectPhoto, Mark, Photo


class Slot(StrEnum):
    """The `sizes` attribute of a picture in each place of the layout, by which a browser chooses a candidate.

    The values were measured in a browser: change them together with the style sheet. In media conditions and `sizes`,
    a rem is always 16 pixels.
    """

    HERO = "(min-width: 61rem) min(51rem, 100vw - 25rem), (min-resolution: 2.5dppx) 67vw, 100vw"
    """On the densest phones two thirds of the pixels look the same, and halve the bytes of the first photo."""
    DEFECT = "(min-width: 44rem) 19.125rem, min(14.0625rem, 0.6 * (100vw - 2.25rem))"
    """A photo in a strip of several."""
    DEFECT_ALONE = "(min-width: 44rem) 24.75rem, min(14.0625rem, 0.6 * (100vw - 2.25rem))"
    GALLERY = (
        "(min-width: 78rem) min(21.25rem, (100vw - 22.2rem) / 3), (min-width: 61rem) 36vw, "
        "(min-width: 23.7rem) 45vw, calc(100vw - 2.25rem)"
    )
    SHEET = "min(7.9rem, 27vw)"
    CARD = (
        "(min-width: 75.5rem) min(26rem, (100vw - 7.9rem) / 3), (min-width: 51rem) calc(50vw - 3rem), "
        "(min-resolution: 2.5dppx) calc(67vw - 1.5rem), calc(100vw - 2.25rem)"
    )
    """On the densest phones two thirds of the pixels, as for HERO: a list begins with two such photos."""


@dataclass(frozen=True)
class MarkView:
    """A mark with its number, in pixels of the picture."""

    shape: str
    points: tuple[int, ...]
    number: str
    number_x: int
    number_y: int
    number_size: int
    badge_radius: int
    dot_radius: int
    words: str


@dataclass(frozen=True)
class PictureView:
    """The view of one photo. `sources` are pairs of media type and candidates (`srcset`)."""

    alt: Text
    sources: tuple[tuple[str, str], ...]
    sizes: str
    src: str
    full: str
    width: int
    height: int
    color: str
    """The photo's mean color as #rrggbb, to stand in its place until it has loaded."""
    eager: bool
    mark: MarkView | None = None
    scale: ScaleBarView | None = None


def picture_view(
    pictures: Pictures,
    stock: str,
    photo: Photo,
    at: Address,
    translator: Translator,
    slot: Slot,
    eager: bool = False,
    number: int = 0,
) -> PictureView:
    """Return the view of a photo in a place of the layout. `number` is the defect's number, shown beside a mark."""
    picture, folder = pictures.of(stock, photo.file), at.to("pictures")

    def link(name: str) -> str:
        return f"{folder}/{name}"

    mark = photo.mark if isinstance(photo, DefectPhoto) else None
    return PictureView(
        alt=translator.text(photo.shows),
        sources=tuple(
            (source.mime, ", ".join(f"{link(size.name)} {size.width}w" for size in source.sizes))
            for source in picture.sources
        ),
        sizes=slot.value,
        src=link(picture.fallback.name),
        full=link(picture.full.name),
        width=picture.width,
        height=picture.height,
        color=picture.placeholder,
        eager=eager,
        mark=mark_view(mark, picture.width, picture.height, number, translator) if mark else None,
        scale=scale_bar(photo, picture, translator) if isinstance(photo, DefectPhoto) else None,
    )


def mark_view(mark: Mark, width: int, height: int, number: int, translator: Translator) -> MarkView:
    """Return a mark with its number just outside it: up and to the right if there is room, else on another side."""
    x, y = round(mark.x * width), round(mark.y * height)
    size = round(max(width, height) * 0.05)
    badge = round(size * 0.8)
    points: tuple[int, ...]
    match mark:
        case Circle():
            # At least 2 % of the picture's width, so that the ring is visible on a phone.
            radius = round(max(mark.r, 0.02) * width)
            shape, points = "circle", (x, y, radius)
            # The badge touches the ring from outside, along its diagonal.
            away = round((radius + badge) * 0.7071)
            center, reach = (x, y), (away, away)
        case Box():
            box_width, box_height = round(mark.w * width), round(mark.h * height)
            shape, points = "box", (x, y, box_width, box_height)
            center, reach = (x + box_width // 2, y + box_height // 2), (box_width // 2, box_height // 2 + badge)
        case Arrow():
            tail = round(mark.from_x * width), round(mark.from_y * height)
            shape, points = "arrow", (x, y, *tail)
            center, reach = tail, (0, 0)
    right, up = center[0] + reach[0] <= width - badge, center[1] - reach[1] >= badge
    number_x = center[0] + reach[0] if right else center[0] - reach[0]
    number_y = center[1] - reach[1] if up else center[1] + reach[1]
    return MarkView(
        shape=shape,
        points=points,
        number=str(number),
        number_x=min(max(number_x, badge), width - badge),
        number_y=min(max(number_y, badge), height - badge),
        number_size=size,
        badge_radius=badge,
        dot_radius=round(size * 0.2),
        words=translator.say(
            "mark.place",
            across=translator.say(_third("mark.across", mark.x)),
            down=translator.say(_third("mark.down", mark.y)),
        ),
    )


def _third(key: str, share: float) -> str:
    return f"{key}.{('first', 'middle', 'last')[min(int(share * 3), 2)]}"
