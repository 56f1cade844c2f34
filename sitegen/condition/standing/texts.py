"""Find every free text of a record with its path, and the context that its place implies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from sitegen.condition.basis.facts import Path
from sitegen.condition.danger.matching import Context
from sitegen.records.base import LocalizedText, Record
from sitegen.records.standing.rules import StandingRules
from sitegen.records.vehicle_record import VehicleRecord

NOT_FREE = frozenset(
    {
        *("stock", "formerly", "vin", "file", "id", "service", "renews", "settles", "finishes", "about", "date_code"),
        *("captions", "chapters", "poster"),
    }
)
"""Keys whose strings have a fixed form or are names, and are not free text."""
ANSWERS = frozenset({"because", "harmless"})
"""Keys of texts that answer a question about another text."""
KEYS_OF_REFERENCE = frozenset({("defects", "kind"), ("brakes", "kind")})
"""Keys whose strings are names in the reference files, by the first and last step of their path."""


SAYS_HOW_IT_IS = ("checks", "brakes", "tires", "traction_battery")
"""Top-level keys of notes that say how a part is. A caption or an addition may name a part and say no more."""


@dataclass(frozen=True)
class FreeText:
    """A freely written text, in every language that it was written in."""

    path: Path
    versions: Mapping[str, str]


def free_texts(record: VehicleRecord) -> Iterator[FreeText]:
    """Yield every free text of a record, in the order of its keys. A new key of the record is included by itself."""
    yield from _texts_in(record, ())


def _texts_in(value: object, path: Path) -> Iterator[FreeText]:
    if isinstance(value, LocalizedText):
        yield FreeText(path, value.versions)
    elif isinstance(value, str):
        if not isinstance(value, Enum) and (path[0], path[-1]) not in KEYS_OF_REFERENCE:
            yield FreeText(path, {"": value})
    elif isinstance(value, Record):
        for key in type(value).model_fields:
            if value.states(key) and key not in NOT_FREE and key not in ANSWERS:
                yield from _texts_in(getattr(value, key), (*path, key))
    elif isinstance(value, Mapping):
        for name, entry in value.items():
            yield from _texts_in(entry, (*path, str(name)))
    elif isinstance(value, tuple):
        for number, entry in enumerate(value):
            yield from _texts_in(entry, (*path, number))


def _vital(steps: Sequence[str], rules: StandingRules) -> frozenset[str]:
    if steps[0] == "notes":
        return frozenset(rules.vital_in_notes)
    is_remark = steps[0] in SAYS_HOW_IT_IS and steps[-1] == "note" and "spare" not in steps
    return frozenset(rules.vital) if is_remark else frozenset()


def context_of(path: Path, rules: StandingRules) -> Context:
    """Return the context that a text's place implies."""
    steps = [str(step) for step in path]
    paths = (".".join(steps[:length]) for length in range(len(steps), 0, -1))
    groups = next((rules.stands_for[name] for name in paths if name in rules.stands_for), ())
    return Context(
        groups=frozenset(groups),
        vital=_vital(steps, rules),
        is_promise=steps[0] == "before_delivery",
        is_missing=steps[:2] == ["equipment", "lacks"],
    )
