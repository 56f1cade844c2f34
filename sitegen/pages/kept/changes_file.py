"""What a script tells to somebody who opens a link that they kept: `changes.js` beside a vehicle's page.

It is a script that leaves its data in `sitegenChanges`, under the stock number, so that a page opened from a folder
may load it too. Its name stays, for a kept list knows a vehicle by its stock number alone. Every sentence is ready to
read: a device's own language and calendar have no part in it.
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
"""Pixels: a kept list shows each vehicle by a small picture."""


@dataclass(frozen=True)
class KeepLinks:
    """What keeps a page: its own address with the version in it."""

    version: str
    """`This is version 3 of what this page discloses.`"""
    stock: str
    one: str
    several: str
    """Where a list begins that keeps this vehicle among others."""


@dataclass(frozen=True)
class KeptVehicle:
    """A vehicle as a kept list shows it."""

    stock: str
    name: str
    offer: str
    """How it stands: price and distance, or when it was sold."""
    picture: Picture | None
    shows: Text | None
    """What is seen in the picture."""


def keep_links(at: Address, stock: str, version: str, language_folder: str, translator: Translator) -> KeepLinks:
    """Return the links of a vehicle's page, by the name of the version that it shows."""
    return KeepLinks(
        version=translator.say("kept.this_version", number=version.partition(".")[0]),
        stock=stock,
        one=f"?since={version}",
        several=f"{at.to(kept_list_address(language_folder).file)}?vehicles={stock}.{version}",
    )


def changes_data(
    vehicle: KeptVehicle, versions: Sequence[Version], language_folder: str, translator: Translator
) -> DataFile:
    """Return the file of a vehicle that has a page."""
    said = _Lines(translator)
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
        "versions": {version.name: _version(version, said, translator, version is now) for version in versions},
        "lines": said.lines,
    }
    return _file(vehicle.stock, data, language_folder)


def moved_data(stock: str, to: str, language_folder: str) -> DataFile:
    """Return the file of a former stock number, which leads on to that of today."""
    return _file(stock, {"moved": to}, language_folder)


def gone_data(stock: str, language_folder: str, translator: Translator) -> DataFile:
    """Return the file of a vehicle that was published once and has no page of its own any more."""
    return _file(stock, {"gone": translator.say("gone.vehicle_words", stock=stock)}, language_folder)


_OF_THE_NOTICE = ("heading", "unknown", "mark", "mark_new", "anew", "several")


class _Lines:
    """The sentences of all versions, each once."""

    def __init__(self, translator: Translator) -> None:
        self.lines: list[list[Any]] = []
        self._translator = translator
        self._places: dict[str, int] = {}

    def place(self, difference: PublishedDifference) -> int:
        """Return the number of a difference's line: its sentence, its places on the page, whether it is new."""
        line = [
            _plain(difference_text(difference, self._translator)),
            list(difference.places),
            int(difference.is_new),
        ]
        known = json.dumps(line, ensure_ascii=False)
        if known not in self._places:
            self._places[known] = len(self.lines)
            self.lines.append(line)
        return self._places[known]


def _version(version: Version, said: _Lines, translator: Translator, is_now: bool) -> list[Any]:
    """Return what is said of a version, and the lines that follow."""
    if is_now:
        return [translator.say("kept.now", number=str(version.number), day=version.on), []]
    words = [translator.say("kept.from", number=str(version.number), day=version.on)]
    if version.since is None:
        words.append(translator.say("kept.lost"))
    elif not version.since:
        words.append(translator.say("kept.same"))
    else:
        words.append(translator.count("kept.changed", len(version.since)))
    return [" ".join(words), [said.place(difference) for difference in version.since or ()]]


def _picture(vehicle: KeptVehicle) -> dict[str, Any] | None:
    """Return a picture as a script shows it: every candidate that is small enough, the plain one, words and size."""
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
    """Return a sentence as one text, or as pieces of which those in another language are pairs with it."""
    if not text.pieces:
        return [[text.text, text.language]] if text.language else text.text
    return [[piece.text, piece.language] if piece.language else piece.text for piece in text.pieces]


def _file(stock: str, data: object, language_folder: str) -> DataFile:
    written = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    script = f"(globalThis.sitegenChanges ??= {{}})[{json.dumps(stock)}] = {written}\n"
    return DataFile(changes_file(vehicle_page(stock, language_folder)), script.encode())
