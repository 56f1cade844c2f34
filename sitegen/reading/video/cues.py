"""WebVTT text to cues; and what a browser would pass over in silence, with its line and column.

Source: WebVTT (W3C), sections 4 (syntax) and 6 (parsing). Comments, styles and regions are passed over here too.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from sitegen.records.problems import Problem
from sitegen.records.walk_around import Cue

ARROW = "-->"
_HEAD = re.compile(r"WEBVTT(?:[ \t].*)?")
_TIME = re.compile(r"(?:(\d+):)?([0-5]\d):([0-5]\d)\.(\d{3})", re.ASCII)
_NO_CUE = re.compile(r"(?:NOTE|STYLE|REGION)(?:[ \t].*)?")
_TAG = re.compile(rf"</?(?:c|i|b|u|v|lang|ruby|rt)(?:[.\s][^<>]*)?>|<{_TIME.pattern}>", re.ASCII)
_ESCAPES = {"&amp;": "&", "&lt;": "<", "&gt;": ">", "&nbsp;": "\u00a0", "&lrm;": "\u200e", "&rlm;": "\u200f"}
_ESCAPE = re.compile("|".join(_ESCAPES))
_TIMES = "two times with an arrow between (00:04.000 --> 00:09.500)"

Line = tuple[int, str]
"""A line, after its number, which counts from 1."""
Fault = Callable[[int, int, str, str, str], Problem]
"""Makes a problem of a line, a column, what was found, what was expected, and how to mend it."""


@dataclass(frozen=True)
class PlacedCue:
    """A cue, and the line that its name or, without one, its times stand on, and that of its times."""

    cue: Cue
    line: int
    times_line: int


def read_cues(text: str, shown_as: str) -> tuple[list[PlacedCue], list[Problem]]:
    """Return the sound cues of a WebVTT file, in its order, and every problem. Messages call the file `shown_as`."""

    def fault(line: int, column: int, found: str, expected: str, mend: str) -> Problem:
        return Problem(shown_as, line, column, "", found, expected, mend)

    lines = list(enumerate(re.split("\r\n|\r|\n", text), start=1))
    problems = list(_faults_of_head(lines, fault))
    body = lines[1:] if _HEAD.fullmatch(lines[0][1]) else lines
    cues: list[PlacedCue] = []
    for is_empty, block in groupby(body, key=lambda line: not line[1]):
        read = None if is_empty else _cue(list(block), fault)
        if isinstance(read, Problem):
            problems.append(read)
        elif read is not None:
            problems += _faults_of_order(read, cues, fault)
            cues.append(read)
    if not cues and not problems:
        mend = "write a line with two times and an arrow, and the words on the line below"
        problems.append(fault(1, 1, "no cue", "words, each with their times", mend))
    return cues, problems


def _faults_of_head(lines: Sequence[Line], fault: Fault) -> Iterator[Problem]:
    first = lines[0][1]
    if not _HEAD.fullmatch(first):
        mend = "write it, and leave the line below it empty"
        yield fault(1, 1, _shown(first), "WEBVTT alone on the first line", mend)
    elif len(lines) > 1 and lines[1][1]:
        yield fault(2, 1, _shown(lines[1][1]), "an empty line below WEBVTT", "put an empty line between")


def _cue(block: Sequence[Line], fault: Fault) -> PlacedCue | Problem | None:
    """Return the cue that a block of lines holds; None for a comment, a style or a region."""
    at = next((place for place, (_, line) in enumerate(block[:2]) if ARROW in line), None)
    line, first = block[0]
    if at is None:
        if _NO_CUE.fullmatch(first):
            return _hidden_cue(block[2:], fault)
        return fault(line, 1, _shown(first), _TIMES, "write the times on the line above the words, or delete this")
    times_line, written = block[at]
    times = _times(times_line, written, fault)
    if isinstance(times, Problem):
        return times
    words = block[at + 1 :]
    if not any(text.strip() for _, text in words):
        return fault(
            times_line, 1, "times without words", "the words on the line below", "write them, or delete this"
        )
    wrong = _hidden_cue(words, fault) or _wrong_sign(words, fault)
    if wrong is not None:
        return wrong
    text = _TAG.sub("", "\n".join(text for _, text in words))
    text = _ESCAPE.sub(lambda escape: _ESCAPES[escape[0]], text)
    return PlacedCue(Cue(first if at else "", *times, text), line, times_line)


def _times(number: int, line: str, fault: Fault) -> tuple[int, int] | Problem:
    """Return when a cue begins and ends, in milliseconds."""
    before, _, after = line.partition(ARROW)
    settings = after.split()[1:]
    places = ((before, 0), (after, len(before) + len(ARROW)))
    times: list[int] = []
    for written, offset in places:
        word = written.strip() if offset == 0 else "".join(written.split()[:1])
        column = offset + len(written) - len(written.lstrip()) + 1
        match = _TIME.fullmatch(word)
        if match is None:
            has_comma = _TIME.fullmatch(word.replace(",", "."))
            mend = f"write {word.replace(',', '.')}" if has_comma else "write all of its figures"
            expected = "minutes, seconds and thousandths (00:09.500), after the hours if there are any (1:00:09.500)"
            return fault(number, column, _shown(word), expected, mend)
        hours, minutes, seconds, thousandths = (int(part or 0) for part in match.groups())
        times.append(((hours * 60 + minutes) * 60 + seconds) * 1000 + thousandths)
    if odd := next((word for word in settings if ":" not in word), None):
        column = line.rindex(odd) + 1
        return fault(number, column, _shown(odd), "nothing after the times", "put the words on the line below")
    start, end = times
    if end <= start:
        column = line.index(after.split()[0], len(before) + len(ARROW)) + 1
        return fault(number, column, after.split()[0], "an end after the beginning", "check both times")
    return start, end


def _hidden_cue(lines: Sequence[Line], fault: Fault) -> Problem | None:
    """Return a problem if another cue begins before there is an empty line."""
    for number, line in lines:
        if ARROW in line:
            expected = "an empty line before the next times, and no arrow among the words"
            return fault(
                number, line.index(ARROW) + 1, ARROW, expected, "put an empty line between, or delete the arrow"
            )
    return None


def _wrong_sign(lines: Sequence[Line], fault: Fault) -> Problem | None:
    """Return a problem if a browser would take words for a tag and leave them out."""
    for number, line in lines:
        # Same length, so that columns stay.
        rest = _TAG.sub(lambda tag: " " * len(tag[0]), line)
        if "<" in rest:
            column = rest.index("<") + 1
            return fault(number, column, _shown(line[column - 1 :]), "&lt; for the sign itself", "write &lt;")
    return None


def _faults_of_order(read: PlacedCue, earlier: Sequence[PlacedCue], fault: Fault) -> Iterator[Problem]:
    if earlier and read.cue.start < earlier[-1].cue.start:
        found = f"a cue that begins before the one above it, on line {earlier[-1].times_line}"
        yield fault(read.times_line, 1, found, "cues in the order in which they begin", "move it up")
    same = next((other for other in earlier if read.cue.name and other.cue.name == read.cue.name), None)
    if same is not None:
        found = f"{read.cue.name} again, first on line {same.line}"
        yield fault(read.line, 1, found, "another name for each cue", "rename or delete one of the two")


def _shown(text: str) -> str:
    text = " ".join(text.split())
    return (text if len(text) <= 60 else f"{text[:60].rstrip()}...") or "nothing"
