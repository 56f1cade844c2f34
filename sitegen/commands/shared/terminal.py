"""A command's output: problems, progress and the result.

On a terminal, progress is a bar. Elsewhere it is two plain lines, so that the log of an unattended job stays short.
Problems and progress go to standard error, the result to standard output.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TextIO

from sitegen.commands.shared.problem_lists import printed_lines, summary
from sitegen.records.problems import Problem, Severity

Advance = Callable[[int, int, str], None]
"""A callback for progress: the number done, the total, and the name of the last one."""


@dataclass(frozen=True)
class Terminal:
    """A command's two output streams: results go to standard output, problems and progress to standard error."""

    out: TextIO
    err: TextIO

    def say(self, words: str) -> None:
        """Print a line of the result on standard output."""
        print(visible(words), file=self.out, flush=True)

    def say_wrong(self, words: str) -> None:
        """Print an error that is not in a file of the store."""
        print(visible(f"sitegen: {words}"), file=self.err, flush=True)

    def tell(self, problems: Iterable[Problem]) -> int:
        """Print all problems sorted by place, and their counts. Return 1 if any of them is an error, else 0."""
        ordered = sorted(set(problems))
        for line in printed_lines(ordered):
            print(visible(line).replace("\n", r"\n"), file=self.err)
        for line in (count_in_words(ordered), *summary(ordered)) if ordered else ():
            print(visible(line), file=self.err, flush=True)
        return exit_code(ordered)

    def tell_machines(self, problems: Iterable[Problem]) -> int:
        """Print all problems as one JSON text on standard output. Return 1 if any of them is an error, else 0."""
        ordered = sorted(set(problems))
        print(json.dumps([problem.as_mapping() for problem in ordered], indent=2), file=self.out)
        return exit_code(ordered)

    @contextmanager
    def progress(self, words: str) -> Iterator[Advance]:
        """Show the progress of a long task until the block ends. Yields the callback that reports it."""
        if self.err.isatty():
            with self._bar(words) as advance:
                yield advance
            return
        last = [0, 0]

        def advance_plainly(done: int, total: int, _: str) -> None:
            if not last[1]:
                print(f"{words}: {total} to make", file=self.err, flush=True)
            last[:] = done, total

        yield advance_plainly
        if last[1]:
            print(f"{words}: {last[0]} of {last[1]} made", file=self.err, flush=True)

    @contextmanager
    def _bar(self, words: str) -> Iterator[Advance]:
        # Imported here, since the import takes longer than printing a command's help.
        from rich.console import Console
        from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

        columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
        with Progress(*columns, console=Console(file=self.err), transient=True) as bar:
            task = bar.add_task(words, total=None)
            yield lambda done, total, _: bar.update(task, completed=done, total=total)


_STEERS = re.compile("[\0-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")


def visible(words: str) -> str:
    r"""Return text with control and direction characters escaped, so that they cannot steer the terminal.

    U+202E becomes \u202e.
    """
    return _STEERS.sub(lambda sign: sign[0].encode("unicode_escape").decode(), words)


def exit_code(problems: Iterable[Problem]) -> int:
    """Return 1 if any problem is an error, else 0. Warnings do not count."""
    return int(any(problem.severity is Severity.ERROR for problem in problems))


def count_in_words(problems: Iterable[Problem]) -> str:
    """Return the number of problems in words: `1 error, 2 warnings`."""
    severities = [problem.severity for problem in problems]
    counts = ((severities.count(severity), severity.value) for severity in Severity)
    return ", ".join(f"{number} {name}{'' if number == 1 else 's'}" for number, name in counts if number)
