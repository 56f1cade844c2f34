"""How long a text message is, as networks count it.

Sources: 3GPP TS 23.038, 6.2.1 (the default alphabet, seven bits a letter) and 6.2.1.1 (its extension table: each of
those counts two, an escape and a letter); TS 23.040, 9.2.3.24.1 (the header of a part of a longer message takes 6 of
its 140 octets). So a message holds 160 letters, and a part of a longer one 153. One letter that is not in the
alphabet turns the whole message into UCS-2, two octets a letter: 70, and 67.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

ALPHABET = frozenset(
    "@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ"
    " !\"#¤%&'()*+,-./0123456789:;<=>?"
    "¡ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§"
    "¿abcdefghijklmnopqrstuvwxyzäöñüà"
)
EXTENSION = frozenset("\f^{}\\[~]|€")
SEPTETS, SEPTETS_OF_A_PART = 160, 153
UCS2, UCS2_OF_A_PART = 70, 67
_PLAIN = {
    "\u00a0": " ",
    "\u202f": " ",
    "“": '"',
    "”": '"',
    "«": '"',
    "»": '"',
    "‘": "'",
    "’": "'",
    "–": "-",
    "—": "-",
}


@dataclass(frozen=True)
class MessageLength:
    """How long a message is."""

    used: int
    """Septets of the default alphabet, or units of UCS-2 where a letter is in neither of its tables."""
    room: int
    """How many its parts hold: 160 or 70 for one, 153 or 67 for each of several."""
    parts: int
    costly: tuple[str, ...]
    """The letters that are in neither table, each once: they cost more than half of the room."""


def plainly(text: str) -> str:
    """Return a text with plain spaces, quotes and hyphens in the place of a printer's; its words stay as they are."""
    return unicodedata.normalize("NFC", "".join(_PLAIN.get(letter, letter) for letter in text))


def message_length(text: str) -> MessageLength:
    """Return how long a text message is. No letter is cut in two between parts, nor is an escape from its letter."""
    costly = tuple(dict.fromkeys(letter for letter in text if letter not in ALPHABET | EXTENSION))
    if costly:
        units = [2 if ord(letter) > 0xFFFF else 1 for letter in text]
        return _length(units, UCS2, UCS2_OF_A_PART, costly)
    return _length([2 if letter in EXTENSION else 1 for letter in text], SEPTETS, SEPTETS_OF_A_PART, ())


def without_costly(text: str) -> str:
    """Return a text without what costs more: letters without their accents, and without what is no letter of it."""
    return "".join(
        letter if letter in ALPHABET | EXTENSION else base if (base := _base_of(letter)) in ALPHABET else ""
        for letter in text
    )


def _base_of(letter: str) -> str:
    return unicodedata.normalize("NFD", letter)[0]


def _length(units: list[int], whole: int, part: int, costly: tuple[str, ...]) -> MessageLength:
    used = sum(units)
    if used <= whole:
        return MessageLength(used, whole, 1, costly)
    parts = _parts(units, part)
    return MessageLength(used, parts * part, parts, costly)


def _parts(units: Iterable[int], room: int) -> int:
    parts, filled = 1, 0
    for unit in units:
        if filled + unit > room:
            parts, filled = parts + 1, 0
        filled += unit
    return parts
