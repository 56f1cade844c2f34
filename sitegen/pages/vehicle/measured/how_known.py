"""The sentence that says on which day and with which gauge figures were measured."""

from __future__ import annotations

from datetime import date

from sitegen.pages.language.translator import Text, Translator
from sitegen.records.wear import Gauge


def how_measured(day: date, gauge: Gauge | None, translator: Translator) -> Text:
    """Return the sentence with the day of the measurement, and the gauge if it is recorded."""
    if gauge is None:
        return translator.tell("measured.how_no_gauge", day=day)
    return translator.tell("measured.how", day=day, gauge=gauge.name)
