"""Tasks and inputs: the nodes of a build's graph, declared beside the code that they call."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, Generic, NoReturn, TypeVar

if TYPE_CHECKING:
    from sitegen.engine.reader import Reader

T = TypeVar("T")


@dataclass(frozen=True)
class Codec(Generic[T]):
    """Writes results of one type as bytes and reads them back. Reading never runs code that the bytes name."""

    encode: Callable[[T], bytes]
    decode: Callable[[bytes], T]


def _to_json(value: Any) -> bytes:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode()


BYTES: Codec[bytes] = Codec(bytes, bytes)
JSON: Codec[Any] = Codec(_to_json, json.loads)
"""Plain values: numbers, texts, truths, lists, and mappings by text."""


def typed(kind: Any) -> Codec[Any]:
    """Return the codec of a type that pydantic serializes, such as a dataclass or a tuple of these."""

    @cache
    def adapter() -> Any:
        # Imported here, since the import takes longer than finding that nothing has changed.
        from pydantic import TypeAdapter

        return TypeAdapter(kind)

    return Codec(lambda value: adapter().dump_json(value), lambda content: adapter().validate_json(content))


@dataclass(frozen=True)
class Task(Generic[T]):
    """A pure function of a key. It reaches every input through the reader that it is given."""

    function: Callable[[Reader, str], T]
    codec: Codec[T]
    seconds: float
    """The approximate time of one key on one core. It decides whether starting workers pays."""
    megabytes: float
    """The approximate upper limit of the memory of one key."""
    is_near: bool
    """Whether it runs only where the store's files are."""
    sources: Callable[[str], Iterable[str]] = lambda _: ()
    """A function that returns, for a key, the SHA-256 of each file that the task reads by `read.source`."""

    @property
    def name(self) -> str:
        """Return the names of the module and the function, by which workers find the task."""
        return f"{self.function.__module__}:{self.function.__qualname__}"


def task(
    codec: Codec[T],
    seconds: float = 0.01,
    megabytes: float = 10.0,
    *,
    is_near: bool = False,
    sources: Callable[[str], Iterable[str]] = lambda _: (),
) -> Callable[[Callable[[Reader, str], T]], Task[T]]:
    """Declare a function as a task."""
    return lambda function: Task(function, codec, seconds, megabytes, is_near, sources)


def given(codec: Codec[T]) -> Callable[[Callable[[], object]], Task[T]]:
    """Declare a value that the command computes for each key and hands to `Engine.give`; tasks read it as a result.

    The decorated function says what the value is. It is never run.
    """

    def declare(function: Callable[[], object]) -> Task[T]:
        def refuse(_read: Reader, key: str) -> NoReturn:
            raise LookupError(f"{function.__qualname__} of {key} was not given to the engine")

        refuse.__module__, refuse.__qualname__ = function.__module__, function.__qualname__
        return Task(refuse, codec, 0.0, 0.0, True)

    return declare


def task_named(name: str) -> Task[Any]:
    """Return the task of this name. Raises AttributeError or ImportError if this program has none."""
    module, _, function = name.partition(":")
    found = getattr(import_module(module), function)
    if not isinstance(found, Task):
        raise AttributeError(f"{name} is not a task")
    return found


@dataclass(frozen=True)
class Input(Generic[T]):
    """A kind of input of tasks: how it is loaded, and every file and folder that it is loaded from."""

    name: str
    places: Callable[[Path, str], Iterable[Path]]
    """A function of the store's folder and the input's key.

    It returns the files and folders; a folder includes all files below it.
    """
    load: Callable[[Path, str], T]
    """A function of the same arguments that loads the input. It may open only files at these places."""

    def __post_init__(self) -> None:
        """Register the input by its name. Raises ValueError for a name that is more than one word."""
        if not self.name.isidentifier():
            raise ValueError(f"the name of an input is one word, not {self.name!r}")
        INPUTS[self.name] = self


INPUTS: dict[str, Input[Any]] = {}
"""Every input that is declared, by name."""
