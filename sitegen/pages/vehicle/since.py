"""What changed since the inspection before, and what nobody looked at again."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.condition.basis.findings import Condition, SinceFinding
from sitegen.pages.language.translator import Text, Translator


@dataclass(frozen=True)
class SinceView:
    """What the page tells of the inspections before this one."""

    introduction: str
    changed: tuple[Text, ...]
    same: str
    not_again: tuple[Text, ...]
    """What an earlier inspection noted and this one says nothing of."""
    earlier: str | None
    """The days of all earlier inspections, where there were several."""


def since_view(condition: Condition, translator: Translator) -> SinceView | None:
    """Return what changed, or None where there was no inspection before."""
    found = next(iter(condition.of(SinceFinding)), None)
    if found is None:
        return None
    key = "since.introduction" if found.driven is not None else "since.introduction_no_distance"
    figures = {} if found.driven is None else {"driven": found.driven}
    same = translator.count("since.same", found.same) if found.same else ""
    days = [translator.formats.day(day) for day in found.earlier]
    return SinceView(
        introduction=translator.say(key, on=found.on, **figures),
        changed=translator.tell_sentences(found.changed),
        same=same if found.changed or same else translator.say("since.nothing_changed"),
        not_again=translator.tell_sentences(found.not_again),
        earlier=translator.say("since.earlier", days=translator.listed(days)) if len(days) > 1 else None,
    )
