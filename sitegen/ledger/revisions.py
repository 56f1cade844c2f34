"""Find the disclosure of a vehicle that applied on a given day, and extract a page's text. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, tzinfo
from html.parser import HTMLParser
from itertools import pairwise

from sitegen.ledger.lines import Line

_BREAKING = {
    *("p", "div", "li", "dt", "dd", "h1", "h2", "h3", "h4", "tr", "section", "article", "figure", "figcaption"),
    *("summary", "details", "ul", "ol", "dl", "table", "br", "nav", "header", "footer", "main", "form", "label"),
}
_UNSEEN = {"script", "style", "template", "svg", "dialog", "select"}


def lines_about(lines: Sequence[Line], stock: str) -> tuple[Line, ...]:
    """Return all lines of a vehicle across changes of its stock number. Empty if no vehicle has this number."""
    for about in lines_by_vehicle(lines).values():
        if any(line.stock == stock for line in about):
            return about
    return ()


def lines_by_vehicle(lines: Sequence[Line]) -> dict[str, tuple[Line, ...]]:
    """Return all lines of each vehicle, by its current stock number."""
    vehicles: dict[str, list[Line]] = {}
    for line in lines:
        if line.stock is not None:
            about = vehicles.pop(line.formerly, []) if line.formerly else vehicles.get(line.stock, [])
            about.append(line)
            vehicles[line.stock] = about
    return {stock: tuple(about) for stock, about in vehicles.items()}


def in_force(about: Sequence[Line], on: date, zone: tzinfo) -> Line | None:
    """Return the line that applied at the end of a day at the store, or None before the first publication."""
    until = [line for line in about if day_of(line, zone) <= on]
    return until[-1] if until else None


def dated_before_the_last(about: Sequence[Line]) -> tuple[Line, ...]:
    """Return the lines that are dated earlier than the line before them, because a clock was set back."""
    # RFC 3339 times in UTC sort as text.
    return tuple(line for last, line in pairwise(about) if line.time < last.time)


def day_of(line: Line, zone: tzinfo) -> date:
    """Return the store's local day on which a line was written."""
    return datetime.fromisoformat(line.time).astimezone(zone).date()


def text_of_page(page: str) -> str:
    """Return the visible text of a page's main part, one line per block, with collapsed parts included."""
    reader = _Reader()
    reader.feed(page)
    reader.close()
    lines = (" ".join(line.split()) for line in "".join(reader.pieces).split("\n"))
    return "\n".join(line for line in lines if line)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.pieces: list[str] = []
        self._in_main = False
        self._unseen = 0

    def handle_starttag(self, tag: str, _attrs: list[tuple[str, str | None]]) -> None:
        if tag == "main":
            self._in_main = True
        elif tag in _UNSEEN:
            self._unseen += 1
        if tag in _BREAKING:
            self.pieces.append("\n")

    def handle_endtag(self, tag: str) -> None:
        if tag == "main":
            self._in_main = False
        elif tag in _UNSEEN:
            self._unseen -= 1
        if tag in _BREAKING:
            self.pieces.append("\n")

    def handle_data(self, data: str) -> None:
        if self._in_main and not self._unseen:
            self.pieces.append(data.replace("\n", " "))
