"""Return the sentences of differences in one language."""

from __future__ import annotations

from collections.abc import Iterable

from sitegen.condition.basis.values import Value, Word
from sitegen.pages.kept.difference import Named, Price, PublishedDifference, Words
from sitegen.pages.language.translator import Text, Translator


def difference_text(difference: PublishedDifference, translator: Translator) -> Text:
    """Return the sentence of a difference. Quoted texts of the store are marked with their language."""
    figures = {name: _named(figure, translator) for name, figure in difference.figures if name != "count"}
    count = dict(difference.figures).get("count")
    if isinstance(count, int):
        return translator.tell_count(difference.key, count, **figures)
    return translator.tell(difference.key, **figures)


def difference_texts(differences: Iterable[PublishedDifference], translator: Translator) -> tuple[Text, ...]:
    """Return the sentences of several differences, in order."""
    return tuple(difference_text(each, translator) for each in differences)


def _named(figure: Named, translator: Translator) -> Value | Text:
    match figure:
        case Price(amount):
            return translator.formats.money(amount)
        case Words(words):
            return translator.listed(_word(word, translator) for word in words)
        case Word():
            return _word(figure, translator)
    return figure


def _word(word: Word, translator: Translator) -> str:
    """Return a word's translation.

    For a key that the catalog no longer has, return the key's last part as plain words.
    """
    if translator.catalog.has(word.key):
        return translator.catalog.say(word.key)
    return word.key.rpartition(".")[2].replace("_", " ")
