"""Build the row files that the filter script loads: a row of figures and texts for each vehicle.

A vehicle's stock number alone decides which file its row is in, and a file's name is a hash of its content. So a
change to one vehicle renames one file, and a returning visitor's browser has all other files in its cache.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sitegen.pages.inventory.card import Listing
from sitegen.pages.inventory.lists import listed_day
from sitegen.pages.language.odometer_text import UNRELIABLE_ODOMETER
from sitegen.pages.language.translator import Translator
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.disclosure import Affects

MOST_IN_A_FILE = 256
"""Average number of rows in a file. The number of files is a power of two, so that rows seldom move between files."""


def row_files(listings: Sequence[Listing], pictures: Pictures, translator: Translator) -> Mapping[str, bytes]:
    """Return the row files by their path in the site.

    Each is a script, which also loads in a page opened from a folder. It assigns `{"fields": [...], "rows": [[...],
    ...]}` to `sitegenRows` under its own file name. A row holds its values in the order of the fields.
    """
    number = 1
    while number * MOST_IN_A_FILE < len(listings):
        number *= 2
    parts: list[list[Listing]] = [[] for _ in range(number)]
    for item in sorted(listings, key=lambda item: item.record.stock):
        parts[file_of(item.record.stock, number)].append(item)
    files = [_serialize([_row(item, pictures, translator) for item in part]) for part in parts if part]
    return dict(map(_script, files))


def file_of(stock: str, number: int) -> int:
    """Return the index, from 0 to `number` - 1, of the file that holds a vehicle's row."""
    return int.from_bytes(hashlib.sha256(stock.encode()).digest()[:4], "big") % number


def _script(text: bytes) -> tuple[str, bytes]:
    """Return the path and the script of a row file."""
    name = f"{hashlib.sha256(text).hexdigest()[:12]}.js"
    return f"inventory/{name}", b'(globalThis.sitegenRows ??= {})["%s"] = %s\n' % (name.encode(), text)


def _serialize(rows: Sequence[Mapping[str, Any]]) -> bytes:
    content = {"fields": list(rows[0]), "rows": [list(row.values()) for row in rows]}
    return json.dumps(content, ensure_ascii=False, separators=(",", ":")).encode()


def _row(item: Listing, pictures: Pictures, translator: Translator) -> dict[str, Any]:
    """Return the row of a vehicle: first the values that are filtered and sorted by, then the texts of its card."""
    record, vehicle, figures, card = item.record, item.record.vehicle, item.figures, item.card
    more_words = (record.stock, *(translator.text(text).text for text in (vehicle.color, vehicle.engine) if text))
    return {
        "stock": record.stock,
        "listed": listed_day(item),
        "year": vehicle.year,
        "make": vehicle.make,
        "body": vehicle.body.value,
        "drive": vehicle.drive.value,
        "fuel": vehicle.fuel.value,
        "location": item.location,
        "price": None if record.price is None else float(record.price),
        # A reading that is not the mileage satisfies no filter.
        "distance": None if record.odometer.statement in UNRELIABLE_ODOMETER else figures.distance,
        "a_year": figures.a_year,
        "tread": figures.tread,
        "lining": figures.lining,
        **{affects.value: figures.standing[affects] for affects in Affects},
        "upkeep": figures.upkeep and figures.upkeep.total_high,
        "in_all": figures.in_all,
        "unchecked": len(item.unchecked),
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
        "papers": card.papers,
        "unchecked_words": card.unchecked,
        "picture": _picture(item, pictures, translator),
    }


def _picture(item: Listing, pictures: Pictures, translator: Translator) -> list[Any] | None:
    """Return the picture as a list, or None without a photo.

    Its items: caption, language, file name stem, widths, fallback width, width, height.
    """
    if item.photo is None:
        return None
    picture, words = pictures.of(item.record.stock, item.photo.file), translator.text(item.photo.shows)
    stem = picture.fallback.name.rpartition("-")[0]
    widths: Iterable[int] = dict.fromkeys(size.width for source in picture.sources for size in source.sizes)
    return [words.text, words.language, stem, list(widths), picture.fallback.width, picture.width, picture.height]
