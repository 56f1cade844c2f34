"""Parse WebVTT text into cues, and report what browsers would silently skip, with its line and column.

Source: WebVTT (W3C), sections 4 (syntax) and 6 (parsing). Comments, styles and regions are skipped here too.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from sitegen.records.film import Cue
from sitegen.records.problems import Problem

ARROW = "-->"
_HEAD = re.compile(r"WEBVTT(?:[ \t].*)?")
_TIME = re.compile(r"(?:(\d+):)?([0-5]\d):([0-5]\d)\.(\d{3})", re.ASCII)
_NO_CUE = re.compile(r"(?:NOTE|STYLE|REGION)(?:[ \t].*)?")
_TAG = re.compile(rf"</?(?:c|i|b|u|v|lang|ruby|rt)(?:[.\s][^<>]*)?>|<{_TIME.pattern}>", re.ASCII)
_ESCAPES = {"&amp;": "&", "&lt;": "<", "&gt;": ">", "&nbsp;": "\u00a0", "&lrm;": "\u200e", "&rlm;": "\u200f"}
_ESCAPE = re.compile("|".join(_ESCAPES))
_TIMES = "two times with an arrow between (00:04.000 --> 00:09.500)"

Line = tuple[int, str]
"""A line with its number, which counts from 1."""
MakeProblem = Callable[[int, int, str, str, str], Problem]
"""Creates a problem from a line, a column, the found and expected text, and the advice."""


@dataclass(frozen=True)
class PlacedCue:
    """A cue, the line on which it starts (its identifier, or its times), and the line of its times."""

    cue: Cue
    line: int
    times_line: int


def read_cues(text: str, shown_as: str) -> tuple[list[PlacedCue], list[Problem]]:
    """Return the valid cues of a WebVTT file in order, and every problem. `shown_as` names the file in messages."""

    def make_problem(line: int, column: int, found: str, expected: str, mend: str) -> Problem:
        return Problem(shown_as, line, column, "", found, expected, mend)

    lines = list(enumerate(re.split("\r\n|\r|\n", text), start=1))
    problems = list(_check_header(lines, make_problem))
    body = lines[1:] if _HEAD.fullmatch(lines[0][1]) else lines
    cues: list[PlacedCue] = []
    for is_empty, block in groupby(body, key=lambda line: not line[1]):
        read = None if is_empty else _cue(list(block), make_problem)
        if isinstance(read, Problem):
            problems.append(read)
        elif read is not None:
            problems += _check_order(read, cues, make_problem)
            cues.append(read)
    if not cues and not problems:
        mend = "write a line with two times and an arrow, and the words on the line below"
        problems.append(make_problem(1, 1, "no cue", "words, each with their times", mend))
    return cues, problems


def _check_header(lines: Sequence[Line], make_problem: MakeProblem) -> Iterator[Problem]:
    first = lines[0][1]
    if not _HEAD.fullmatch(first):
        mend = "write it, and leave the line below it empty"
        yield make_problem(1, 1, _shown(first), "WEBVTT alone on the first line", mend)
    elif len(lines) > 1 and lines[1][1]:
        yield make_problem(2, 1, _shown(lines[1][1]), "an empty line below WEBVTT", "put an empty line between")


def _cue(block: Sequence[Line], make_problem: MakeProblem) -> PlacedCue | Problem | None:
    """Return the cue in a block of lines, or its problem. None for a comment, a style or a region."""
    times_index = next((place for place, (_, line) in enumerate(block[:2]) if ARROW in line), None)
    line, first = block[0]
    if times_index is None:
        if _NO_CUE.fullmatch(first):
            return _hidden_cue(block[2:], make_problem)
        return make_problem(
            line, 1, _shown(first), _TIMES, "write the times on the line above the words, or delete this"
        )
    times_line, written = block[times_index]
    times = _times(times_line, written, make_problem)
    if isinstance(times, Problem):
        return times
    words = block[times_index + 1 :]
    if not any(text.strip() for _, text in words):
        return make_problem(
            times_line, 1, "times without words", "the words on the line below", "write them, or delete this"
        )
    problem = _hidden_cue(words, make_problem) or _unescaped_sign(words, make_problem)
    if problem is not None:
        return problem
    text = _TAG.sub("", "\n".join(text for _, text in words))
    text = _ESCAPE.sub(lambda escape: _ESCAPES[escape[0]], text)
    return PlacedCue(Cue(first if times_index else "", *times, text), line, times_line)


def _times(number: int, line: str, make_problem: MakeProblem) -> tuple[int, int] | Problem:
    """Return the start and end of a cue in milliseconds, or the problem of its times."""
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
            return make_problem(number, column, _shown(word), expected, mend)
        hours, minutes, seconds, thousandths = (int(part or 0) for part in match.groups())
        times.append(((hours * 60 + minutes) * 60 + seconds) * 1000 + thousandths)
    if odd := next((word for word in settings if ":" not in word), None):
        column = line.rindex(odd) + 1
        return make_problem(number, column, _shown(odd), "nothing after the times", "put the words on the line below")
    start, end = times
    if end <= start:
        column = line.index(after.split()[0], len(before) + len(ARROW)) + 1
        return make_problem(number, column, after.split()[0], "an end after the beginning", "check both times")
    return start, end


def _hidden_cue(lines: Sequence[Line], make_problem: MakeProblem) -> Problem | None:
    """Return a problem if another cue starts without an empty line before it, else None."""
    for number, line in lines:
        if ARROW in line:
            expected = "an empty line before the next times, and no arrow among the words"
            return make_problem(
                number, line.index(ARROW) + 1, ARROW, expected, "put an empty line between, or delete the arrow"
            )
    return None


def _unescaped_sign(lines: Sequence[Line], make_problem: MakeProblem) -> Problem | None:
    """Return a problem if a `<` among the words would be parsed as a tag, which browsers drop; else None."""
    for number, line in lines:
        # Replace tags by spaces of the same length, so that columns stay correct.
        rest = _TAG.sub(lambda tag: " " * len(tag[0]), line)
        if "<" in rest:
            column = rest.index("<") + 1
            return make_problem(number, column, _shown(line[column - 1 :]), "&lt; for the sign itself", "write &lt;")
    return None


def _check_order(read: PlacedCue, earlier: Sequence[PlacedCue], make_problem: MakeProblem) -> Iterator[Problem]:
    if earlier and read.cue.start < earlier[-1].cue.start:
        found = f"a cue that begins before the one above it, on line {earlier[-1].times_line}"
        yield make_problem(read.times_line, 1, found, "cues in the order in which they begin", "move it up")
    same = next((other for other in earlier if read.cue.name and other.cue.name == read.cue.name), None)
    if same is not None:
        found = f"{read.cue.name} again, first on line {same.line}"
        yield make_problem(read.line, 1, found, "another name for each cue", "rename or delete one of the two")


def _shown(text: str) -> str:
    text = " ".join(text.split())
    return (text if len(text) <= 60 else f"{text[:60].rstrip()}...") or "nothing"
