"""Warn of claims that no seller may make. Source: 16 CFR 455.4 and 16 CFR 455.1(a), no statement that misleads."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.reading.checks.sheet import Sheet
from sitegen.records.base import LocalizedText
from sitegen.records.problems import Problem, Severity
from sitegen.records.standing.dangers import Lexicons, find_phrase, plain_words


def check_sellers_words(sheet: Sheet, lexicons: Lexicons) -> Iterator[Problem]:
    """Yield a warning for each text that claims something nobody can know or promise."""
    record = sheet.record
    texts: list[tuple[tuple[str | int, ...], LocalizedText | None]] = [(("notes",), record.notes)]
    texts += [(("equipment", "has", place), text) for place, text in enumerate(record.equipment.has)]
    texts += [(("additions", place, "what"), one.what) for place, one in enumerate(record.additions)]
    texts += [(("history", place, "what"), event.what) for place, event in enumerate(record.history)]
    for path, text in texts:
        for language, version in text.versions.items() if text is not None else ():
            said = plain_words(version)
            for lexicon in lexicons.root.values():
                for reason, phrases in lexicon.sellers.items():
                    words = next((found for phrase in phrases if (found := find_phrase(said, phrase))), None)
                    if words is not None:
                        yield sheet.marks.problem(
                            (*path, language) if language else path,
                            "what was seen and measured, on its day",
                            f"say what you looked at and when ({reason}; 16 CFR 455)",
                            found=f'the words "{words}"',
                            severity=Severity.WARNING,
                        )
