"""What a script needs to find and show vehicles: a row of figures and words for each, in files that seldom change.

A vehicle's stock number alone decides which file it is in, and a file is named by a hash of what it holds. So a
change to one vehicle gives one file a new name, and a returning visitor's browser has all the others already.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sitegen.pages.inventory.card import Listing
from sitegen.pages.inventory.lists import listed_day
from sitegen.pages.language.translator import Translator
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.disclosure import Affects

MOST_IN_A_FILE = 256
"""On the average; a power of two of files keeps every vehicle in its file while their number stays."""


def row_files(listings: Sequence[Listing], pictures: Pictures, translator: Translator) -> Mapping[str, bytes]:
    """Return the files of all rows, by their path in the site.

    Each is a script, which a page opened from a folder may load too. It leaves `{"fields": [...], "rows": [[...],
    ...]}` in `sitegenRows`, under its own name: a row holds its values in the order of the fields.
    """
    number = 1
    while number * MOST_IN_A_FILE < len(listings):
        number *= 2
    parts: list[list[Listing]] = [[] for _ in range(number)]
    for found in sorted(listings, key=lambda found: found.record.stock):
        parts[file_of(found.record.stock, number)].append(found)
    written = [_written([_row(found, pictures, translator) for found in part]) for part in parts if part]
    return dict(map(_script, written))


def file_of(stock: str, number: int) -> int:
    """Return in which of `number` files, counted from 0, a vehicle's row is."""
    return int.from_bytes(hashlib.sha256(stock.encode()).digest()[:4], "big") % number


def _script(text: bytes) -> tuple[str, bytes]:
    """Return the path of a file of rows, and the script that it is."""
    name = f"{hashlib.sha256(text).hexdigest()[:12]}.js"
    return f"inventory/{name}", b'(globalThis.sitegenRows ??= {})["%s"] = %s\n' % (name.encode(), text)


def _written(rows: Sequence[Mapping[str, Any]]) -> bytes:
    content = {"fields": list(rows[0]), "rows": [list(row.values()) for row in rows]}
    return json.dumps(content, ensure_ascii=False, separators=(",", ":")).encode()


def _row(found: Listing, pictures: Pictures, translator: Translator) -> dict[str, Any]:
    """Return what is compared first, then the words that the card shows."""
    record, vehicle, figures, card = found.record, found.record.vehicle, found.figures, found.card
    more_words = (record.stock, *(translator.text(text).text for text in (vehicle.color, vehicle.engine) if text))
    return {
        "stock": record.stock,
        "listed": listed_day(found),
        "year": vehicle.year,
        "make": vehicle.make,
        "body": vehicle.body.value,
        "drive": vehicle.drive.value,
        "fuel": vehicle.fuel.value,
        "location": found.location,
        "price": None if record.price is None else float(record.price),
        "distance": figures.distance,
        "a_year": figures.a_year,
        "tread": figures.tread,
        "lining": figures.lining,
        **{affects.value: figures.standing[affects] for affects in Affects},
        "upkeep": figures.upkeep and figures.upkeep.about,
        "unchecked": len(found.unchecked),
        "more_words": " ".join(more_words),
        "name": card.name,
        "kind": card.kind,
        "price_words": card.price,
        "distance_words": card.distance,
        "a_year_words": card.a_year,
        "status": card.status,
        "location_words": card.location,
        "figures": [[figure.value, figure.note] for figure in card.figures],
        "defects": card.defects,
        "unchecked_words": card.unchecked,
        "picture": _picture(found, pictures, translator),
    }


def _picture(found: Listing, pictures: Pictures, translator: Translator) -> list[Any] | None:
    """Return words and their language, what all names begin with, widths, the plain picture, and the size."""
    if found.photo is None:
        return None
    picture, words = pictures.of(found.record.stock, found.photo.file), translator.text(found.photo.shows)
    stem = picture.fallback.name.rpartition("-")[0]
    widths: Iterable[int] = dict.fromkeys(size.width for source in picture.sources for size in source.sizes)
    return [words.text, words.language, stem, list(widths), picture.fallback.width, picture.width, picture.height]
