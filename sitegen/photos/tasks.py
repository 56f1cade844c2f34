"""The tasks of photos: the facts of a photo's header, its pictures, and the share picture of a link."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import astuple, dataclass
from pathlib import PurePosixPath
from typing import Any, TypeVar

from sitegen.engine.reader import Reader
from sitegen.engine.task import BYTES, Codec, Input, task
from sitegen.photos.deriving.deriving import derive
from sitegen.photos.deriving.measuring import Measures
from sitegen.photos.deriving.share_picture import CardFigure, ShareCard, ShareStyle, draw_share_picture
from sitegen.photos.opening.finding import misplaced
from sitegen.photos.opening.limits import PhotoLimits, limits_file, read_limits
from sitegen.photos.opening.opening import Fault, judge_photo
from sitegen.photos.planning.planning import PhotoFacts, Plan, plan_widths
from sitegen.records.disclosure import Box
from sitegen.records.store import PictureFormat
from sitegen.records.theme import ShareLook

T = TypeVar("T")

LIMITS: Input[PhotoLimits] = Input("photo_limits", lambda *_: [limits_file()], lambda *_: read_limits())


def _or_fault(encode: Callable[[T], Any], decode: Callable[[Any], T]) -> Codec[T | Fault]:
    """Return the codec of a result that is a fault if the photo cannot be used."""

    def to_bytes(value: T | Fault) -> bytes:
        plain = {"fault": astuple(value)} if isinstance(value, Fault) else {"value": encode(value)}
        return json.dumps(plain, ensure_ascii=False).encode("utf-8", "surrogatepass")

    def from_bytes(content: bytes) -> T | Fault:
        plain = json.loads(content.decode("utf-8", "surrogatepass"))
        return Fault(*plain["fault"]) if "fault" in plain else decode(plain["value"])

    return Codec(to_bytes, from_bytes)


_FACTS: Codec[PhotoFacts | Fault] = _or_fault(astuple, lambda plain: PhotoFacts(*plain))


@task(_FACTS, seconds=0.013, megabytes=3.0, is_near=True)
def photo_facts(read: Reader, shown_path: str) -> PhotoFacts | Fault:
    """Return the facts of a photo file, or the fault why it cannot be used. The key is its path in the store."""
    path = read.file(shown_path)
    below_photos = PurePosixPath(shown_path).parts[3:]
    fault = misplaced(path.parents[len(below_photos) - 1], below_photos)
    if fault is not None:
        return fault
    try:
        content = path.read_bytes()
    except OSError as trouble:
        found = f"a photo that cannot be read ({trouble.strerror})"
        return Fault(found, "a photo that whoever builds may read", "check the file and its rights")
    return judge_photo(content, path.name, read.input(LIMITS).refuse)


@dataclass(frozen=True)
class PictureRequest:
    """The digest of a photo, and the settings of its pictures. Equal requests give equal pictures."""

    facts: PhotoFacts
    covers: tuple[Box, ...]
    is_close_up: bool
    widths: tuple[int, ...]
    formats: tuple[PictureFormat, ...]

    @property
    def plan(self) -> Plan:
        """The plan of the pictures to make of the photo."""
        return plan_widths(self.facts, self.covers, self.is_close_up, self.widths, self.formats)

    @property
    def key(self) -> str:
        """The request as the key of `derived_pictures`."""
        covers = sorted({(box.x, box.y, box.w, box.h) for box in self.covers})
        plain = [astuple(self.facts), covers, self.is_close_up, self.widths, self.formats]
        return json.dumps(plain, separators=(",", ":"))

    @classmethod
    def of(cls, key: str) -> PictureRequest:
        """Return the request that a key states."""
        facts, covers, is_close_up, widths, formats = json.loads(key)
        boxes = tuple(Box(x=x, y=y, w=w, h=h) for x, y, w, h in covers)
        return cls(PhotoFacts(*facts), boxes, is_close_up, tuple(widths), tuple(map(PictureFormat, formats)))


@dataclass(frozen=True)
class DerivedPictures:
    """The pictures of one photo, stored as files."""

    placeholder: str
    """The photo's mean color as #rrggbb."""
    measures: Measures
    digests: Mapping[str, str]
    """SHA-256 of each picture, by its published name."""


_DERIVED: Codec[DerivedPictures | Fault] = _or_fault(
    lambda value: [value.placeholder, astuple(value.measures), dict(value.digests)],
    lambda plain: DerivedPictures(plain[0], Measures(*plain[1]), plain[2]),
)


def _photo_of(key: str) -> Iterable[str]:
    return [PictureRequest.of(key).facts.digest]


@task(_DERIVED, seconds=2.0, megabytes=200.0, sources=_photo_of)
def derived_pictures(read: Reader, key: str) -> DerivedPictures | Fault:
    """Make the pictures of a photo and store them as files. The key is a `PictureRequest`."""
    request = PictureRequest.of(key)
    made = derive(read.source(request.facts.digest), request.plan)
    if isinstance(made, Fault):
        return made
    digests = {name: read.keep(picture) for name, picture in made.pictures.items()}
    return DerivedPictures(made.placeholder, made.measures, digests)


def share_picture_key(card: ShareCard) -> str:
    """Return a share picture's content and style as the key of `share_picture`: font and photo by their digests."""
    figures = [(each.label, each.figure) for each in card.figures]
    look, font = card.style.identity
    photo = card.photo.digest if card.photo else None
    return json.dumps([card.title, figures, card.store, look.model_dump(), font, photo], ensure_ascii=False)


def _font_and_photo(key: str) -> Iterable[str]:
    return [digest for digest in json.loads(key)[4:] if digest]


@task(BYTES, seconds=0.3, megabytes=20.0, sources=_font_and_photo)
def share_picture(read: Reader, key: str) -> bytes:
    """Draw the share picture of a link, store it as a file, and return its digest."""
    title, figures, store, look, font, photo = json.loads(key)
    style = ShareStyle(ShareLook(**look), read.source(font))
    card = ShareCard(title, tuple(CardFigure(*each) for each in figures), store, style)
    return read.keep(draw_share_picture(card, read.source(photo) if photo else None)).encode()
