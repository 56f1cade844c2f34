"""Find what a record type accepts at a path, and say it in plain words: choices and keys."""

from __future__ import annotations

import types
from collections.abc import Iterable, Sequence
from enum import Enum
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, RootModel
from pydantic.fields import FieldInfo

from sitegen.reading.validation.did_you_mean import listed
from sitegen.reading.yaml.tree import KeyPath

_MOST_KEYS_LISTED = 12


class Expectation:
    """The types that a record accepts at one path."""

    def __init__(self, model: type[BaseModel], path: KeyPath) -> None:
        """Follow `path` down from `model`."""
        self._types: list[Any] = [model]
        for step in path:
            self._types = [
                within for accepted in self._types for outer in _step_into(accepted, step) for within in _flat(outer)
            ]

    def annotation(self) -> Any:
        """Return the accepted types as one annotation."""
        return Union[tuple(self._types)] if self._types else None  # noqa: UP007  # built at run time

    def choices(self) -> tuple[str, ...]:
        """Return the fixed words that are accepted, or an empty tuple."""
        chosen: list[str] = []
        for accepted in self._types:
            if isinstance(accepted, type) and issubclass(accepted, Enum):
                chosen += [str(member.value) for member in accepted]
            elif get_origin(accepted) is Literal:
                chosen += map(str, get_args(accepted))
        return tuple(dict.fromkeys(chosen))

    def key_choices(self) -> tuple[str, ...]:
        """Return the fixed words that are accepted as keys, or an empty tuple."""
        return tuple(
            str(member.value)
            for accepted in self._types
            if get_origin(accepted) is dict
            and isinstance(get_args(accepted)[0], type)
            and issubclass(get_args(accepted)[0], Enum)
            for member in get_args(accepted)[0]
        )

    def keys_without(self, unknown: str, present: Iterable[str]) -> tuple[str, ...]:
        """Return the keys of the accepted group that lacks `unknown`, or of the one most like `present`."""
        have = set(present)
        groups = [keys for keys in self._groups() if unknown not in keys]
        return max(groups, key=lambda keys: len(have & set(keys)), default=())

    def requires(self, key: str) -> bool:
        """Return whether an accepted group requires this key."""
        fields = [
            _fields(accepted)
            for accepted in self._types
            if isinstance(accepted, type) and issubclass(accepted, BaseModel)
        ]
        return any(key in group and group[key].is_required() for group in fields)

    def _groups(self) -> list[tuple[str, ...]]:
        return [
            tuple(_fields(accepted))
            for accepted in self._types
            if isinstance(accepted, type) and issubclass(accepted, BaseModel)
        ]

    def words(self) -> str:
        """Return a description of the accepted values."""
        parts = list(self.choices())
        parts += [
            f"a group with {the_keys(keys)}" if len(keys) <= _MOST_KEYS_LISTED else "a group of keys"
            for keys in self._groups()
        ]
        return listed(parts) if parts else "another kind of value"


def the_keys(keys: Sequence[str]) -> str:
    """Return keys as words for reading: the keys x, y and r."""
    return f"the {'key' if len(keys) == 1 else 'keys'} {listed(keys, 'and')}"


def _fields(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """Return the fields of a record type by the keys that files write."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def _step_into(annotation: Any, step: str | int) -> list[Any]:
    if isinstance(annotation, type) and issubclass(annotation, RootModel):
        return _step_into(annotation.model_fields["root"].annotation, step)
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        field = _fields(annotation).get(str(step))
        return [field.annotation] if field else []
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin is dict:
        return [arguments[1]]
    return [arguments[0]] if origin is tuple and isinstance(step, int) else []


def _flat(annotation: Any) -> list[Any]:
    """Return the types that an annotation allows, without Annotated, Union and None."""
    if get_origin(annotation) is Annotated:
        return _flat(get_args(annotation)[0])
    if get_origin(annotation) in (Union, types.UnionType):
        return [within for member in get_args(annotation) for within in _flat(member)]
    return [] if annotation is type(None) else [annotation]
