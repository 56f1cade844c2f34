"""Build `changes.js`, the file beside a vehicle's page that lists the changes since each earlier version.

The script assigns its data to `sitegenChanges` under the stock number, so that it also loads in a page opened from a
folder. Its file name never changes, because the list that a shopper keeps knows only the vehicle's stock number. All
sentences are in the page's language, independent of the device's locale and calendar.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sitegen.pages.frame.addresses import Address, changes_file, vehicle_page
from sitegen.pages.frame.page import DataFile
from sitegen.pages.kept.difference import PublishedDifference
from sitegen.pages.kept.difference_text import difference_text
from sitegen.pages.kept.kept_list_page import kept_list_address
from sitegen.pages.kept.versions import Version
from sitegen.pages.language.translator import Text, Translator
from sitegen.photos.planning.pictures import Picture

WIDEST_IN_A_LIST = 640
"""Largest width in pixels of a vehicle's picture in a kept list."""


@dataclass(frozen=True)
class KeepLinks:
    """The links with which a shopper keeps a vehicle. Each contains the version that the page shows."""

    version: str
    """A sentence that names the version."""
    stock: str
    one: str
    """The page's own address with the version."""
    several: str
    """The address of a kept list that holds this vehicle."""


@dataclass(frozen=True)
class KeptVehicle:
    """A vehicle as the list that a shopper keeps shows it."""

    stock: str
    name: str
    offer: str
    """Price and distance, or the day on which it was sold."""
    picture: Picture | None
    shows: Text | None
    """The picture's caption."""


def keep_links(at: Address, stock: str, version: str, language_folder: str, translator: Translator) -> KeepLinks:
    """Return the links with which a shopper keeps a vehicle. `version` names the version that the page shows."""
    return KeepLinks(
        version=translator.say("kept.this_version", number=version.partition(".")[0]),
        stock=stock,
        one=f"?since={version}",
        several=f"{at.to(kept_list_address(language_folder).file)}?vehicles={stock}.{version}",
    )


def changes_data(
    vehicle: KeptVehicle, versions: Sequence[Version], language_folder: str, translator: Translator
) -> DataFile:
    """Return the changes file of a vehicle that has a page. The last of `versions` is the present one."""
    lines = _Lines(translator)
    *_, now = versions
    data = {
        "name": vehicle.name,
        "offer": vehicle.offer,
        "picture": _picture(vehicle),
        "now": now.name,
        "newest": translator.say("kept.newest", number=str(now.number), day=now.on),
        "words": {
            **{word: translator.say(f"kept.{word}") for word in _OF_THE_NOTICE},
            "history": translator.say("history.heading"),
        },
        "versions": {version.name: _version(version, lines, translator, version is now) for version in versions},
        "lines": lines.lines,
    }
    return _file(vehicle.stock, data, language_folder)


def moved_data(stock: str, to: str, language_folder: str) -> DataFile:
    """Return the changes file of a former stock number, which names the present one."""
    return _file(stock, {"moved": to}, language_folder)


def gone_data(stock: str, language_folder: str, translator: Translator) -> DataFile:
    """Return the changes file of a vehicle that was published before and no longer has a page."""
    return _file(stock, {"gone": translator.say("gone.vehicle_words", stock=stock)}, language_folder)


_OF_THE_NOTICE = ("heading", "unknown", "mark", "mark_new", "anew", "several")


class _Lines:
    """The distinct sentences of all versions, numbered in the order of their first use."""

    def __init__(self, translator: Translator) -> None:
        self.lines: list[list[Any]] = []
        self._translator = translator
        self._places: dict[str, int] = {}

    def place(self, difference: PublishedDifference) -> int:
        """Return the number of a difference's line, adding the line if it is new.

        A line holds the sentence, the anchors on the page, and 1 if the fact appears for the first time.
        """
        line = [
            _plain(difference_text(difference, self._translator)),
            list(difference.places),
            int(difference.is_new),
        ]
        key = json.dumps(line, ensure_ascii=False)
        if key not in self._places:
            self._places[key] = len(self.lines)
            self.lines.append(line)
        return self._places[key]


def _version(version: Version, lines: _Lines, translator: Translator, is_now: bool) -> list[Any]:
    """Return the sentences about a version, and the numbers of the lines that list its changes."""
    if is_now:
        return [translator.say("kept.now", number=str(version.number), day=version.on), []]
    words = [translator.say("kept.from", number=str(version.number), day=version.on)]
    if version.since is None:
        words.append(translator.say("kept.lost"))
    elif not version.since:
        words.append(translator.say("kept.same"))
    else:
        words.append(translator.count("kept.changed", len(version.since)))
    return [" ".join(words), [lines.place(difference) for difference in version.since or ()]]


def _picture(vehicle: KeptVehicle) -> dict[str, Any] | None:
    """Return the data of a picture: its small candidates by media type, fallback, caption and size in pixels."""
    picture = vehicle.picture
    if picture is None or vehicle.shows is None:
        return None
    small = {
        source.mime: [[size.name, size.width] for size in source.sizes if size.width <= WIDEST_IN_A_LIST]
        for source in picture.sources
    }
    return {
        "sources": {mime: sizes for mime, sizes in small.items() if sizes},
        "plain": picture.fallback.name,
        "shows": _plain(vehicle.shows),
        "width": picture.width,
        "height": picture.height,
    }


def _plain(text: Text) -> Any:
    """Return a sentence as a string, or as a list in which a piece in another language is a pair [text, language]."""
    if not text.pieces:
        return [[text.text, text.language]] if text.language else text.text
    return [[piece.text, piece.language] if piece.language else piece.text for piece in text.pieces]


def _file(stock: str, data: object, language_folder: str) -> DataFile:
    written = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    script = f"(globalThis.sitegenChanges ??= {{}})[{json.dumps(stock)}] = {written}\n"
    return DataFile(changes_file(vehicle_page(stock, language_folder)), script.encode())
