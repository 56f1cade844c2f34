"""Find dangerous-sounding words in a record's texts, and the entries in its list `harmless` that answer them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import chain

from sitegen.condition.basis.facts import Path
from sitegen.condition.danger.matching import Context, Match, find_dangers, groups_named, is_said
from sitegen.condition.danger.sentences import composed
from sitegen.condition.danger.unclear import find_unclear
from sitegen.condition.standing.texts import FreeText, context_of, free_texts
from sitegen.records.base import LocalizedText
from sitegen.records.disclosure import CheckNote
from sitegen.records.figures import Figures
from sitegen.records.standing.dangers import DangerWords, plain_words
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class DangerousWords:
    """Words of one text that sound dangerous."""

    path: Path
    language: str
    """The language tag in the record; empty for the store's first language."""
    words: str


def unanswered_words(
    record: VehicleRecord, figures: Figures, apart_from: Collection[str] = ()
) -> Iterator[DangerousWords]:
    """Yield the dangerous-sounding words that `harmless` does not answer, once for each text.

    Texts under the top-level keys in `apart_from` are skipped.
    """
    for text in free_texts(record):
        if text.path[0] in apart_from:
            continue
        found = next(unanswered_in(text, context_of(text.path, figures.standing), record, figures), None)
        if found is not None:
            yield found


def unanswered_in(
    text: FreeText, context: Context, record: VehicleRecord, figures: Figures
) -> Iterator[DangerousWords]:
    """Yield the dangerous-sounding words of one text that `harmless` does not answer."""
    for language, version in text.versions.items():
        lexicons = _lexicons_for(language, text, figures)
        sure = (match for lexicon in lexicons for match in find_dangers(version, lexicon, context))
        for match in chain(sure, find_unclear(version, lexicons, context)):
            if not is_answered(match, composed(version), record):
                yield DangerousWords(text.path, language, match.words)


def _lexicons_for(language: str, text: FreeText, figures: Figures) -> Collection[DangerWords]:
    """Return the lexicons to search a version of a text with.

    A text in several languages is searched in each with its own. One that stands alone may be in any language.
    """
    of_all = figures.lexicons.root
    is_translated = len(text.versions) > 1 and language in of_all
    return [of_all[language]] if is_translated else list(of_all.values())


def is_answered(match: Match, version: str, record: VehicleRecord) -> bool:
    """Return whether `harmless` quotes the words of a match, alone or within a longer quotation."""
    for answer in record.harmless:
        for quoted in answer.words.versions.values():
            wanted = plain_words(quoted)
            if _holds(plain_words(match.words), wanted) and _holds(wanted, plain_words(version)):
                return True
    return False


def _holds(part: list[str], whole: list[str]) -> bool:
    """Return whether the words of one text occur in another, in sequence."""
    return bool(part) and any(whole[start : start + len(part)] == part for start in range(len(whole) - len(part) + 1))


def is_called_harmless(path: Path, record: VehicleRecord) -> LocalizedText | None:
    """Return the reason why a figure is harmless, if `harmless` names its path. None otherwise."""
    name = ".".join(str(step) for step in path if step != "")
    for answer in record.harmless:
        if name in answer.words.versions.values():
            return answer.because
    return None


def about_part(context: Context, part: LocalizedText, figures: Figures) -> Context:
    """Return a context that includes the groups of the part that a text is about."""
    named = groups_of(part.versions.values(), figures)
    return replace(context, groups=context.groups | named)


def groups_of(texts: Iterable[str], figures: Figures) -> frozenset[str]:
    """Return the groups of parts that any of the texts names, in any language."""
    return frozenset(
        group for text in texts for lexicon in figures.lexicons.root.values() for group in groups_named(text, lexicon)
    )


def says(text: LocalizedText, use: str, figures: Figures) -> bool:
    """Return whether a phrase of the lexicons' list `use` occurs in a text, in any language."""
    lexicons = figures.lexicons.root.values()
    return any(is_said(version, lexicon, use) for version in text.versions.values() for lexicon in lexicons)


def notes_on_rust(record: VehicleRecord, figures: Figures) -> tuple[LocalizedText, ...]:
    """Return the notes of a record, those on its checks first, that speak of rust and do not deny it."""
    of_checks = (note for check in record.checks.values() if isinstance(check, CheckNote) and (note := check.note))
    notes = (*of_checks, *((record.notes,) if record.notes else ()))
    return tuple(note for note in notes if says(note, "rust", figures))
