"""Shorten a long list of problems: one line for many similar warnings, and a summary by vehicle and by kind. Pure."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence

from sitegen.records.problems import Problem, Severity

MOST_ALIKE = 20
"""The most warnings of one kind that are printed one by one. More become one line."""
FEW = 10
"""Up to this many problems need no summary."""
NAMED = 12
"""Number of vehicles and of kinds that a summary names."""
_INDEX = re.compile(r"\[\d+\]")
_FIGURE = re.compile(r"\d[\d.,/]*")
_VEHICLE = re.compile("vehicles/([^/]+)/")


def printed_lines(problems: Sequence[Problem]) -> Iterator[str]:
    """Yield the lines that print problems, in order. Many similar warnings become one line."""
    alike: dict[tuple[str, str], list[Problem]] = defaultdict(list)
    for problem in problems:
        if problem.severity is Severity.WARNING:
            alike[_group(problem)].append(problem)
    for problem in problems:
        group = alike.get(_group(problem), []) if problem.severity is Severity.WARNING else []
        if len(group) <= MOST_ALIKE:
            yield problem.as_line()
        elif problem is group[0]:
            files = len({one.file for one in group})
            more = f"and {len(group) - 1} more like it, in {files} files; --format json lists all"
            yield f"{problem.as_line()} ({more})"


def summary(problems: Sequence[Problem]) -> Iterator[str]:
    """Yield lines that count the problems by vehicle and by kind; nothing if there are few."""
    if len(problems) <= FEW:
        return
    yield _counts("by vehicle", (vehicle_of(problem) or problem.file for problem in problems))
    yield _counts("by kind", (kind_of(problem) for problem in problems))


def vehicle_of(problem: Problem) -> str | None:
    """Return the name of the vehicle's folder that a problem is in, or None."""
    match = _VEHICLE.match(problem.file)
    return match[1] if match else None


def kind_of(problem: Problem) -> str:
    """Return the key that a problem is about, without list positions, or `the file itself`."""
    return _INDEX.sub("", problem.where) or "the file itself"


def _group(problem: Problem) -> tuple[str, str]:
    return kind_of(problem), _FIGURE.sub("", problem.expected)


def _counts(words: str, names: Iterable[str]) -> str:
    counts = Counter(names)
    most = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    rest = sum(number for _, number in most[NAMED:])
    listed = [f"{name} {number}" for name, number in most[:NAMED]] + ([f"all others {rest}"] if rest else [])
    return f"  {words}: {', '.join(listed)}"
