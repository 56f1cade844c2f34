"""A line of the ledger: its fields, its serialized form, and the hash chain. Pure.

A line is canonical JSON (RFC 8785). Its digest is the SHA-256 (FIPS 180-4) of its bytes without the line feed. The
next line contains that digest as `before`, so a line that is changed, removed or moved breaks the chain.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from functools import cached_property
from hashlib import sha256

import rfc8785

NOTHING_BEFORE = "0" * 64
"""Value of `before` in the first line."""
_OPTIONAL = ("joined", "withdrawn")
_DIGEST = re.compile("[0-9a-f]{64}", re.ASCII)
_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", re.ASCII)
_STOCK = re.compile("[A-Za-z0-9]+(-[A-Za-z0-9]+)*", re.ASCII)
_PAGE = re.compile(r"(?!/)(?!(?:.*/)?\.\.?/)[^\0\r\n\\]+\.html")


class InvalidLineError(Exception):
    """A text is not a line of a ledger. The message says so in plain words."""


@dataclass(frozen=True)
class Line:
    """One publication of one vehicle, or of pages that belong to no vehicle."""

    sequence: int
    """Counts from 1 without gaps."""
    time: str
    """Time of publication in UTC, in RFC 3339 form: `2026-10-04T16:00:00Z`."""
    stock: str | None
    """None for pages that belong to no vehicle."""
    formerly: str | None
    """The vehicle's stock number in its previous line, if it differed."""
    vin: str | None
    revision: int | None
    """Number of this disclosure of the vehicle, from 1, across changes of its stock number."""
    record: str | None
    """SHA-256 of `record.json`. None if the vehicle is no longer published."""
    pages: Mapping[str, str]
    """SHA-256 of each of the vehicle's pages by path in the site, with zeros in place of this line's own digest."""
    shown: tuple[str, ...]
    """SHA-256 of each photo and video that the record names, sorted."""
    addresses: tuple[str, ...]
    """Pages of no vehicle that were not published before, by path in the site."""
    changed: tuple[str, ...]
    """Changes since the previous line, in words."""
    before: str
    """Digest of the previous line."""
    joined: str | None = None
    """Digest of the last line of a branch that this line joins to the ledger. Only written if there is one."""
    withdrawn: Mapping[str, str] = field(default_factory=dict)
    """SHA-256 of each photo or video that is removed from everywhere, and the reason. Left out if there is none."""

    @cached_property
    def text(self) -> bytes:
        """The serialized line, without its line feed."""
        return rfc8785.dumps({name: value for name, value in asdict(self).items() if value or name not in _OPTIONAL})

    @cached_property
    def digest(self) -> str:
        """SHA-256 of the serialized line, in hexadecimal."""
        return sha256(self.text).hexdigest()

    @property
    def all_pages(self) -> tuple[str, ...]:
        """All pages that the line names, by path in the site."""
        return (*self.pages, *self.addresses)


def parse_line(text: bytes) -> Line:
    """Parse a serialized line. Raises InvalidLineError unless serializing the result gives the same bytes."""
    try:
        fields = json.loads(text)
        line = Line(**{**fields, **{name: tuple(fields[name]) for name in ("shown", "addresses", "changed")}})
        is_valid = _is_right(line) and line.text == text
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        is_valid = False
    if not is_valid:
        raise InvalidLineError("a text that is no line of a ledger")
    return line


def check_chain(lines: Sequence[Line]) -> Iterator[tuple[Line, str | None]]:
    """Yield each line with the error of its place in the chain (its number or its `before`), or None."""
    before, number = NOTHING_BEFORE, 0
    earlier = {NOTHING_BEFORE: 0}
    for line in lines:
        error = None
        if line.before != before and line.before in earlier:
            error = f"a second branch of the ledger: line {earlier[line.before] + 1} follows the same line"
        elif line.sequence != number + 1:
            error = f"line {line.sequence} where line {number + 1} should be"
        elif line.before != before:
            error = "a line that does not name the one before it"
        yield line, error
        before, number = line.digest, line.sequence
        earlier[line.digest] = line.sequence


def latest_of_each(lines: Sequence[Line]) -> dict[str, Line]:
    """Return the last line of each vehicle, by its current stock number."""
    latest: dict[str, Line] = {}
    for line in lines:
        if line.stock is not None:
            latest.pop(line.formerly or line.stock, None)
            latest[line.stock] = line
    return latest


def _is_right(line: Line) -> bool:
    digests = (line.before, *line.pages.values(), *line.shown, *line.withdrawn)
    digests += tuple(digest for digest in (line.record, line.joined) if digest is not None)
    names = (line.stock, line.vin, line.revision)
    return (
        all(_DIGEST.fullmatch(digest) for digest in digests)
        and all(_PAGE.fullmatch(page) for page in line.all_pages)
        and bool(_TIME.fullmatch(line.time))
        and (all(name is None for name in names) or all(name is not None for name in names))
        and all(name is None or _STOCK.fullmatch(name) for name in (line.stock, line.formerly))
        and (line.revision is None or (type(line.revision) is int and line.revision > 0))
        and type(line.sequence) is int
        and all(isinstance(words, str) for words in (*line.changed, *line.withdrawn.values(), line.vin or ""))
    )
