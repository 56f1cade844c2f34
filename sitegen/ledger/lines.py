"""A line of the ledger: what it says, how it is written, and how each holds the one before it. Pure.

A line is canonical JSON (RFC 8785). Its digest is the SHA-256 (FIPS 180-4) of its bytes without the line feed, and
the next line names it as `before`: so none can be changed, taken out or moved without every later one telling.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import cached_property
from hashlib import sha256

import rfc8785

NOTHING_BEFORE = "0" * 64
"""What the first line names as the one before it."""
_DIGEST = re.compile("[0-9a-f]{64}", re.ASCII)
_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", re.ASCII)
_STOCK = re.compile("[A-Za-z0-9]+(-[A-Za-z0-9]+)*", re.ASCII)
_PAGE = re.compile(r"(?!/)(?!(?:.*/)?\.\.?/)[^\0\r\n\\]+\.html")


class NoLineError(Exception):
    """A line is none of ours, in words."""


@dataclass(frozen=True)
class Line:
    """One publication of one vehicle, or of pages that belong to none."""

    sequence: int
    """Counts from 1, without a gap."""
    time: str
    """When it was published, in UTC as RFC 3339 writes it: `2026-10-04T16:00:00Z`."""
    stock: str | None
    """None where pages were published that are of no vehicle."""
    formerly: str | None
    """The stock number of the line before of the same vehicle, where it was another."""
    vin: str | None
    revision: int | None
    """Counts the disclosures of one vehicle from 1, under whatever stock number."""
    record: str | None
    """SHA-256 of `record.json`; None where the vehicle is no longer published."""
    pages: Mapping[str, str]
    """The vehicle's pages by path in the site: SHA-256 of each, with zeros in the place of this line's own digest."""
    shown: tuple[str, ...]
    """SHA-256 of every photo and video that the record names, sorted."""
    addresses: tuple[str, ...]
    """Pages of no vehicle that were not published before, by path in the site."""
    changed: tuple[str, ...]
    """What is new, in plain words."""
    before: str
    """Digest of the line before."""

    @cached_property
    def text(self) -> bytes:
        """The line as it is written, without its line feed."""
        return rfc8785.dumps(asdict(self))

    @cached_property
    def digest(self) -> str:
        """SHA-256 of the text, in hexadecimal."""
        return sha256(self.text).hexdigest()

    @property
    def all_pages(self) -> tuple[str, ...]:
        """Every page that the line tells of, by path in the site."""
        return (*self.pages, *self.addresses)


def line_of(text: bytes) -> Line:
    """Return the line that a text is. Raises NoLineError for any other text, be it by one byte."""
    try:
        told = json.loads(text)
        line = Line(**{**told, **{name: tuple(told[name]) for name in ("shown", "addresses", "changed")}})
        right = _is_right(line) and line.text == text
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        right = False
    if not right:
        raise NoLineError("a text that is no line of a ledger")
    return line


def chained(lines: Sequence[Line]) -> Iterator[tuple[Line, str | None]]:
    """Yield each line and what is wrong with its place: its number, and what it names as before it."""
    before, number = NOTHING_BEFORE, 0
    for line in lines:
        fault = None
        if line.sequence != number + 1:
            fault = f"line {line.sequence} where line {number + 1} should be"
        elif line.before != before:
            fault = "a line that does not hold the one before it"
        yield line, fault
        before, number = line.digest, line.sequence


def latest_of_each(lines: Sequence[Line]) -> dict[str, Line]:
    """Return the last line of every vehicle, by its last stock number."""
    latest: dict[str, Line] = {}
    for line in lines:
        if line.stock is not None:
            latest.pop(line.formerly or line.stock, None)
            latest[line.stock] = line
    return latest


def _is_right(line: Line) -> bool:
    digests = (line.before, *line.pages.values(), *line.shown, *([line.record] if line.record else []))
    names = (line.stock, line.vin, line.revision)
    return (
        all(_DIGEST.fullmatch(digest) for digest in digests)
        and all(_PAGE.fullmatch(page) for page in line.all_pages)
        and bool(_TIME.fullmatch(line.time))
        and (all(name is None for name in names) or all(name is not None for name in names))
        and all(name is None or _STOCK.fullmatch(name) for name in (line.stock, line.formerly))
        and (line.revision is None or (type(line.revision) is int and line.revision > 0))
        and type(line.sequence) is int
        and all(isinstance(words, str) for words in (*line.changed, line.vin or ""))
    )
