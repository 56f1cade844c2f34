"""A mapping of task results, loaded when they are read."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import TypeVar

from sitegen.engine.engine import Engine
from sitegen.engine.task import Task

T = TypeVar("T")


class Results(Mapping[str, T]):
    """The results of one task by key, each brought up to date and loaded when it is read."""

    def __init__(self, engine: Engine, task: Task[T], keys: Iterable[str]) -> None:
        self._engine, self._task, self._keys = engine, task, dict.fromkeys(keys)

    def __getitem__(self, key: str) -> T:
        """Return the result of one key. Raises KeyError for a key that is not among these."""
        if key not in self._keys:
            raise KeyError(key)
        return self._engine.result(self._task, key)

    def __contains__(self, key: object) -> bool:
        """Return whether a key is among these, without loading its result."""
        return key in self._keys

    def __iter__(self) -> Iterator[str]:
        """Yield every key, in order."""
        return iter(self._keys)

    def __len__(self) -> int:
        """Return the number of keys."""
        return len(self._keys)

    def without(self, keys: Collection[str]) -> Results[T]:
        """Return the results without those of some keys."""
        return Results(self._engine, self._task, (key for key in self if key not in keys))
