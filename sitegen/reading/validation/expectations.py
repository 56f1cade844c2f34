"""What a record type expects at a path, in plain words: its choices, its keys."""

from __future__ import annotations

import types
from collections.abc import Iterable, Sequence
from enum import Enum
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, RootModel

from sitegen.reading.validation.did_you_mean import listed
from sitegen.reading.yaml.tree import KeyPath

_MOST_KEYS_LISTED = 12


class Expectation:
    """What may stand at one path of a record: one type, or one of several."""

    def __init__(self, model: type[BaseModel], path: KeyPath) -> None:
        """Follow `path` from the top of `model`."""
        self._types: list[Any] = [model]
        for step in path:
            self._types = [
                within for one in self._types for outer in _step_into(one, step) for within in _flat(outer)
            ]

    def choices(self) -> tuple[str, ...]:
        """Return the words to choose from, where there is a choice of words."""
        chosen: list[str] = []
        for one in self._types:
            if isinstance(one, type) and issubclass(one, Enum):
                chosen += [str(member.value) for member in one]
            elif get_origin(one) is Literal:
                chosen += map(str, get_args(one))
        return tuple(dict.fromkeys(chosen))

    def key_choices(self) -> tuple[str, ...]:
        """Return the words that a key may be, where there is a choice of words."""
        return tuple(
            str(member.value)
            for one in self._types
            if get_origin(one) is dict and isinstance(get_args(one)[0], type) and issubclass(get_args(one)[0], Enum)
            for member in get_args(one)[0]
        )

    def keys_without(self, unknown: str, present: Iterable[str]) -> tuple[str, ...]:
        """Return the keys of the group that does not know one key; of several, the one most like those `present`."""
        have = set(present)
        groups = [keys for keys in self._groups() if unknown not in keys]
        return max(groups, key=lambda keys: len(have & set(keys)), default=())

    def requires(self, key: str) -> bool:
        """Whether a group that may stand there must have a key."""
        fields = [one.model_fields for one in self._types if isinstance(one, type) and issubclass(one, BaseModel)]
        return any(key in known and known[key].is_required() for known in fields)

    def _groups(self) -> list[tuple[str, ...]]:
        return [
            tuple(one.model_fields) for one in self._types if isinstance(one, type) and issubclass(one, BaseModel)
        ]

    def words(self) -> str:
        """Say what may stand there."""
        parts = list(self.choices())
        parts += [
            f"a group with {the_keys(keys)}" if len(keys) <= _MOST_KEYS_LISTED else "a group of keys"
            for keys in self._groups()
        ]
        return listed(parts) if parts else "another kind of value"


def the_keys(keys: Sequence[str]) -> str:
    """Return keys as a list for reading: the keys x, y and r."""
    return f"the {'key' if len(keys) == 1 else 'keys'} {listed(keys, 'and')}"


def _step_into(annotation: Any, step: str | int) -> list[Any]:
    if isinstance(annotation, type) and issubclass(annotation, RootModel):
        return _step_into(annotation.model_fields["root"].annotation, step)
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        known = annotation.model_fields.get(str(step))
        return [known.annotation] if known else []
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin is dict:
        return [arguments[1]]
    return [arguments[0]] if origin is tuple and isinstance(step, int) else []


def _flat(annotation: Any) -> list[Any]:
    """Return the types that an annotation allows, without what surrounds them."""
    if get_origin(annotation) is Annotated:
        return _flat(get_args(annotation)[0])
    if get_origin(annotation) in (Union, types.UnionType):
        return [within for one in get_args(annotation) for within in _flat(one)]
    return [] if annotation is type(None) else [annotation]
