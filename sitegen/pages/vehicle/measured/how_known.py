"""How measured figures are known: on which day, with which gauge."""

from __future__ import annotations

from datetime import date

from sitegen.pages.language.translator import Text, Translator
from sitegen.records.wear import Gauge


def how_measured(day: date, gauge: Gauge | None, translator: Translator) -> Text:
    """Return the sentence that says when it was measured, and with what if that was noted."""
    if gauge is None:
        return translator.tell("measured.how_no_gauge", day=day)
    return translator.tell("measured.how", day=day, gauge=gauge.name)
