"""Compute the length of a text message as mobile networks count it.

Sources: 3GPP TS 23.038, 6.2.1 (the GSM 7-bit default alphabet) and 6.2.1.1 (its extension table: each of these
characters counts two, an escape and a character); TS 23.040, 9.2.3.24.1 (the header of one part of a longer message
takes 6 of its 140 octets). So a message holds 160 characters, and one part of a longer message 153. A single
character outside the alphabet changes the encoding of the whole message to UCS-2, two octets a character: 70, and
67.
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
    """The length of a message, its capacity, and its number of parts."""

    used: int
    """Septets of the default alphabet, or UCS-2 units if a character is in neither of its tables."""
    room: int
    """The capacity of all parts: 160 or 70 for a single one, 153 or 67 for each of several."""
    parts: int
    costly: tuple[str, ...]
    """The distinct characters that are in neither table: one of them more than halves the capacity."""


def plainly(text: str) -> str:
    """Replace typographic spaces, quotes and dashes with plain ones, which the default alphabet has."""
    return unicodedata.normalize("NFC", "".join(_PLAIN.get(letter, letter) for letter in text))


def message_length(text: str) -> MessageLength:
    """Return the length of a text message. Parts never split a character, nor an escape from its character."""
    costly = tuple(dict.fromkeys(letter for letter in text if letter not in ALPHABET | EXTENSION))
    if costly:
        units = [2 if ord(letter) > 0xFFFF else 1 for letter in text]
        return _length(units, UCS2, UCS2_OF_A_PART, costly)
    return _length([2 if letter in EXTENSION else 1 for letter in text], SEPTETS, SEPTETS_OF_A_PART, ())


def without_costly(text: str) -> str:
    """Return a text that fits the default alphabet: accents are removed, and other characters are dropped."""
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
