"""The view of changes since the previous look at the vehicle (an inspection, or a visit at which it was examined)."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.condition.basis.findings import Condition, SinceFinding
from sitegen.pages.language.translator import Text, Translator


@dataclass(frozen=True)
class SinceView:
    """The section about earlier inspections."""

    introduction: str
    changed: tuple[Text, ...]
    same: str
    earlier: str | None
    """The days of all earlier inspections, if there were several."""


def since_view(condition: Condition, translator: Translator) -> SinceView | None:
    """Return the section, or None if there is no earlier inspection."""
    finding = next(iter(condition.of(SinceFinding)), None)
    if finding is None:
        return None
    key = "since.introduction" if finding.driven is not None else "since.introduction_no_distance"
    figures = {} if finding.driven is None else {"driven": finding.driven}
    same = translator.count("since.same", finding.same) if finding.same else ""
    days = [translator.formats.day(day) for day in finding.earlier]
    return SinceView(
        introduction=translator.say(key, on=finding.on, **figures),
        changed=translator.tell_sentences(finding.changed),
        same=same if finding.changed or same else translator.say("since.nothing_changed"),
        earlier=translator.say("since.earlier", days=translator.listed(days)) if len(days) > 1 else None,
    )
