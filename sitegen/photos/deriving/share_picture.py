"""Draw the preview picture of a shared link: a photo, a name, and up to four figures.

1200 x 630 is the size that link previews show uncropped (common practice). The font is bundled, so that every machine
draws the same picture.
"""

from __future__ import annotations

import hashlib
import io
from contextlib import suppress
from dataclasses import dataclass
from functools import cache, cached_property

from PIL import Image, ImageDraw, ImageFont, ImageOps

from sitegen.photos.planning.pictures import Picture
from sitegen.records.theme import ShareLook

WIDTH, HEIGHT = 1200, 630
MOST_BYTES = 300_000
"""Some messengers show no preview picture that is larger (common practice)."""

_DESIGN = 2
"""Version of the drawing code below. Increase it when the drawing changes, so that pictures get new names."""
_PHOTO_WIDTH = 720
_LEFT = _PHOTO_WIDTH + 56
_RIGHT = WIDTH - 32
_TOP = 44
_STORE_LINE = HEIGHT - 54


@dataclass(frozen=True)
class CardFigure:
    """A figure with its unit, and its label: ("Lowest tread", "6/32 in")."""

    label: str
    figure: str


@dataclass(frozen=True)
class ShareStyle:
    """The colors and the font of share pictures."""

    look: ShareLook
    font: bytes
    """A font file."""

    @cached_property
    def identity(self) -> tuple[ShareLook, str]:
        """The style's colors (`ShareLook`), and its font's SHA-256.

        Cached: hashing the font for each picture would take a tenth of its time.
        """
        return self.look, hashlib.sha256(self.font).hexdigest()


@dataclass(frozen=True)
class ShareCard:
    """The content and style of a share picture. All texts are in the page's language."""

    title: str
    figures: tuple[CardFigure, ...]
    """At most four."""
    store: str
    style: ShareStyle
    photo: Picture | None = None


def share_picture_name(card: ShareCard) -> str:
    """Return the file name of a share picture: a digest of its content and style."""
    content = (card.title, card.figures, card.store, card.photo and card.photo.full.name)
    key = (_DESIGN, card.style.identity, *content)
    return f"share-{hashlib.sha256(repr(key).encode()).hexdigest()[:20]}.jpg"


def draw_share_picture(card: ShareCard, photo: bytes | None) -> bytes:
    """Return a share picture as a JPEG. Bytes in, bytes out, so that any process can draw it.

    `photo` is one of the vehicle's published pictures: upright, sRGB, and covered where that was asked.
    """
    return _as_jpeg(_drawn(card, photo))


def _drawn(card: ShareCard, photo: bytes | None) -> Image.Image:
    look, font = card.style.look, card.style.font
    image = Image.new("RGB", (WIDTH, HEIGHT), look.paper)
    if photo is not None:
        with Image.open(io.BytesIO(photo)) as opened:
            image.paste(ImageOps.fit(opened.convert("RGB"), (_PHOTO_WIDTH, HEIGHT), Image.Resampling.LANCZOS))
    draw = ImageDraw.Draw(image)
    _draw_ruler(draw, look)
    below = _draw_lines(draw, _title_lines(card.title, font), _LEFT, _TOP, look.ink)
    _draw_figures(draw, card, below + 26, look, font)
    _draw_line(draw, card.store, _STORE_LINE, look.accent, _faces(font, 600, 24, 16))
    return image


def _draw_figures(draw: ImageDraw.ImageDraw, card: ShareCard, top: float, look: ShareLook, font: bytes) -> None:
    step = min(118.0, (_STORE_LINE - 34 - top) / max(1, len(card.figures)))
    for place, shown in enumerate(card.figures):
        line = top + place * step
        draw.line((_LEFT, line, _RIGHT, line), look.line, 2)
        _draw_line(draw, shown.label, line + step * 0.25, look.soft_ink, _faces(font, 400, 24, 16))
        _draw_figure(draw, shown.figure, (line + step * 0.66, step), look.ink, font)


def _draw_figure(draw: ImageDraw.ImageDraw, text: str, place: tuple[float, float], ink: str, font: bytes) -> None:
    """Draw a figure in one line, or a sentence in two smaller ones. `place`: its middle and height."""
    middle, step = place
    small = _face(font, 700, 20)
    lines = _wrapped(text, small)
    if len(lines) < 2 or _face(font, 700, 28).getlength(text) <= _RIGHT - _LEFT:
        _draw_line(draw, text, middle, ink, _faces(font, 700, 46, 18))
        return
    for number, words in enumerate((lines[0], " ".join(lines[1:]))):
        _draw_line(draw, words, middle + (number - 0.5) * step * 0.27, ink, [small])


def _draw_line(
    draw: ImageDraw.ImageDraw, text: str, middle: float, ink: str, faces: list[ImageFont.FreeTypeFont]
) -> None:
    """Draw one line of text in the first font face in which it fits, else truncated in the last one."""
    face = next((face for face in faces if face.getlength(text) <= _RIGHT - _LEFT), faces[-1])
    draw.text((_LEFT, middle), _cut(text, face), ink, face, anchor="lm")


def _draw_ruler(draw: ImageDraw.ImageDraw, look: ShareLook) -> None:
    """Draw a ruler of 32 parts down the edge of the photo, with longer ticks at halves, quarters and eighths."""
    draw.rectangle((_PHOTO_WIDTH, 0, _PHOTO_WIDTH + 4, HEIGHT), look.accent)
    for part in range(1, 32):
        length = next(long for step, long in ((16, 30), (8, 24), (4, 18), (1, 10)) if part % step == 0)
        y = round(part * HEIGHT / 32)
        draw.line((_PHOTO_WIDTH + 5, y, _PHOTO_WIDTH + 5 + length, y), look.soft_ink, 2)


def _title_lines(title: str, font: bytes) -> list[tuple[str, ImageFont.FreeTypeFont]]:
    """Break a title into at most three lines in the largest size that fits. Truncate it if no size fits."""
    for size in range(50, 28, -2):
        face = _face(font, 700, size)
        lines = _wrapped(title, face)
        if len(lines) <= 3 and all(face.getlength(line) <= _RIGHT - _LEFT for line in lines):
            return [(line, face) for line in lines]
    return [(_cut(line, face), face) for line in lines[:3]]


def _wrapped(title: str, face: ImageFont.FreeTypeFont) -> list[str]:
    lines = [""]
    for word in title.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and face.getlength(longer) > _RIGHT - _LEFT:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _draw_lines(
    draw: ImageDraw.ImageDraw, lines: list[tuple[str, ImageFont.FreeTypeFont]], left: float, top: float, ink: str
) -> float:
    """Draw lines of text one below the other. Return the y coordinate below the last."""
    for line, face in lines:
        draw.text((left, top), line, ink, face, anchor="la")
        top += face.size * 1.15
    return top


def _faces(font: bytes, weight: int, largest: int, smallest: int) -> list[ImageFont.FreeTypeFont]:
    return [_face(font, weight, size) for size in range(largest, smallest - 1, -1)]


def _cut(text: str, face: ImageFont.FreeTypeFont) -> str:
    while face.getlength(text) > _RIGHT - _LEFT:
        text = text.rstrip("…")[:-1] + "…"
    return text


@cache
def _face(font: bytes, weight: int, size: int) -> ImageFont.FreeTypeFont:
    # Basic layout, so that machines with and without a text-shaping library draw the same picture.
    face = ImageFont.truetype(io.BytesIO(font), size, layout_engine=ImageFont.Layout.BASIC)
    with suppress(OSError):  # A font without a weight axis is used as it is.
        face.set_variation_by_axes([weight])
    return face


def _as_jpeg(image: Image.Image) -> bytes:
    """Return the picture as a JPEG of the best quality that stays under MOST_BYTES."""
    written = io.BytesIO()
    for quality in range(86, 30, -6):
        written = io.BytesIO()
        image.save(written, "JPEG", quality=quality, progressive=True, optimize=True)
        if written.tell() < MOST_BYTES:
            break
    return written.getvalue()
