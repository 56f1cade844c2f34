"""Read a YAML text that has syntax errors as far as possible: leave out only the lines that cannot be read.

A block of lines is a key with its value, or an entry of a list. A block that cannot be parsed is divided into the
blocks within it; the smallest ones that cannot be parsed are left out. Lines keep their numbers.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

import yaml

try:
    from yaml import CSafeLoader as Loader
except ImportError:  # PyYAML without its C library is slower and raises the same errors.
    from yaml import SafeLoader as Loader  # type: ignore[assignment]

MOST_ERRORS = 40
"""Greatest number of syntax errors that are looked for in one file."""
_BARE_KEY = re.compile(r"\s*(?:- +)?[\w\"' ]+:\s*(?:#.*)?")
_ENTRY = re.compile(r"(\s*)-( +)(?=\S)")
_NO_CONTENT = re.compile(r"\s*(?:#.*)?")
_KEY = re.compile(r"(?:^|[{,])\s*(?:- +)*[\"']?(\w+)[\"']?\s*:", re.MULTILINE)


@dataclass(frozen=True)
class HiddenLines:
    """Lines that cannot be read, as positions from 0."""

    start: int
    stop: int
    text: str
    fault: yaml.MarkedYAMLError
    """The parser's error in `parsed`."""
    parsed: str
    """The smallest text with the error, below as many empty lines as are above it in the file."""
    remainder: str = ""
    """Stands in place of the first line: the hyphen of a list's entry whose other lines can be read."""

    @property
    def keys(self) -> frozenset[str]:
        """Return every word in these lines that may be a key."""
        return frozenset(_KEY.findall(self.text))


@dataclass
class _Search:
    lines: list[str]
    hidden: list[HiddenLines] = field(default_factory=list)

    def look(self, start: int, stop: int, lines: list[str]) -> None:
        """Hide the lines from `start` to `stop` that cannot be read. `lines` are those lines as they are parsed."""
        fault = _fault_in(start, lines)
        if fault is None or len(self.hidden) >= MOST_ERRORS:
            return
        blocks = list(_blocks(lines))
        if len(blocks) > 1:
            for first, last in blocks:
                self.look(start + first, start + last, lines[first:last])
            return
        within = _without_head(lines)
        if within is None:
            self._hide(start, stop, fault, lines)
            return
        skipped, rest = within
        before = len(self.hidden)
        self.look(start + skipped, stop, rest)
        if len(self.hidden) == before:
            self._hide(start, stop, fault, lines)

    def _hide(self, start: int, stop: int, fault: yaml.MarkedYAMLError, lines: list[str]) -> None:
        entry = _ENTRY.match(self.lines[start])
        is_entry_read_without_it = entry is not None and not _ENTRY.match(lines[0])
        remainder = f"{entry[1]}-" if entry is not None and is_entry_read_without_it else ""
        self.hidden.append(
            HiddenLines(start, stop, "\n".join(self.lines[start:stop]), fault, _below(start, lines), remainder)
        )


def hidden_lines(text: str) -> tuple[str, tuple[HiddenLines, ...]]:
    """Return a text without the lines that cannot be read, each replaced by an empty line, and these lines.

    The result may still have a syntax error, if one is between blocks that can each be read.
    """
    if "\r" in text.replace("\r\n", ""):
        return text, ()  # a line number would then count differently here
    lines = text.split("\n")
    search = _Search(lines)
    search.look(0, len(lines), lines)
    kept = list(lines)
    for each in search.hidden:
        kept[each.start : each.stop] = [each.remainder] + [""] * (each.stop - each.start - 1)
    return "\n".join(kept), tuple(search.hidden)


def _below(start: int, lines: list[str]) -> str:
    return "\n" * start + "\n".join(lines)


def _fault_in(start: int, lines: list[str]) -> yaml.MarkedYAMLError | None:
    loader = Loader(_below(start, lines))
    try:
        while loader.get_event() is not None:
            pass
    except yaml.MarkedYAMLError as fault:
        return fault
    return None


def _blocks(lines: list[str]) -> Iterator[tuple[int, int]]:
    """Yield the first and the last line of each block, from 0. The last one is not part of it."""
    depths = {number: _depth(line) for number, line in enumerate(lines) if not _NO_CONTENT.fullmatch(line)}
    if not depths:
        return
    least = min(depths.values())
    is_list = lines[next(iter(depths))].lstrip().startswith("- ")
    starts = [
        number
        for number, depth in depths.items()
        if depth == least and (is_list or not lines[number].lstrip().startswith("- "))
    ]
    starts = starts or [next(iter(depths))]
    starts[0] = 0
    yield from zip(starts, [*starts[1:], len(lines)], strict=True)


def _without_head(lines: list[str]) -> tuple[int, list[str]] | None:
    """Return the number of lines that a block begins with and the rest of it, or None if it cannot be divided."""
    first = next((number for number, line in enumerate(lines) if not _NO_CONTENT.fullmatch(line)), None)
    if first is None:
        return None
    entry = _ENTRY.match(lines[first])
    if entry is not None and len(lines) > first + 1:
        opened = f"{entry[1]} {entry[2]}{lines[first][entry.end() :]}"
        return first, [opened, *lines[first + 1 :]]
    if _BARE_KEY.fullmatch(lines[first]) and len(lines) > first + 1:
        return first + 1, lines[first + 1 :]
    return None


def _depth(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
