"""The tracked reader: a task's only way to its inputs. It records each question with the digest of the answer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import AbstractContextManager
from functools import partial
from hashlib import sha256
from pathlib import Path
from types import FunctionType
from typing import TYPE_CHECKING, Any, Generic, TypeVar, cast

from sitegen.engine.days import TrackedDay
from sitegen.engine.programs import run_program
from sitegen.engine.result_store import Answers
from sitegen.engine.task import Input, Task

if TYPE_CHECKING:
    from sitegen.engine.engine import Engine

T = TypeVar("T")


class Reader:
    """Answers one run of one task."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._answers: dict[str, str] = {}
        self.kept: set[str] = set()
        """Digests of the files that the result refers to."""

    @property
    def trace(self) -> Answers:
        """Return each question and the digest of its answer, in the order of the first reads."""
        return tuple(self._answers.items())

    def file(self, path: str) -> Path:
        """Return the path of a file of the store. Its bytes, or that it is missing, are recorded.

        Read it only once.
        """
        self._record(f"file {path}")
        return self._engine.folder / path

    def content(self, path: str) -> bytes | None:
        """Return the bytes of a file of the store; None if it cannot be read."""
        try:
            return self.file(path).read_bytes()
        except OSError:
            return None

    def names(self, folder: str) -> tuple[tuple[str, bool], ...]:
        """Return the path of every file below a folder of the store, and whether it is a link."""
        self._record(f"names {folder}")
        return self._engine.states.names(folder)

    def tree(self, folder: str) -> Path:
        """Return the path of a folder of the store. The names and bytes of all its files are recorded."""
        self._record(f"tree {folder}")
        return self._engine.folder / folder

    def input(self, kind: Input[T], key: str = "") -> T:
        """Return an input. The task then depends on all of it; `parts` limits that to the attributes it reads."""
        self._record(f"input {kind.name} {key}")
        return self._engine.loaded(kind, key)

    def parts(self, kind: Input[T], key: str = "") -> T:
        """Return an input, and record only the attributes that the task reads."""
        value = self._engine.loaded(kind, key)
        if value is None:
            return self.input(kind, key)
        return cast("T", _Parts(value, partial(self._record_part, f"{kind.name} {key}")))

    def result(self, task: Task[T], key: str) -> T:
        """Return the result of another task. If it stays equal, changes of its own inputs do not matter."""
        value = self._engine.result(task, key)
        self._record(f"result {task.name} {key}")
        return value

    @property
    def today(self) -> TrackedDay:
        """Return the day at the store. Comparisons with it are recorded."""
        return TrackedDay(self._engine.today, self._record_day)

    def program(self, program: str, arguments: Sequence[str | Path], version: str = "--version") -> bytes:
        """Run an external program and return its output. Its version is recorded. Raises ProgramError."""
        self._record(f"program {program} {version}")
        return run_program(program, arguments)

    def source(self, digest: str) -> bytes:
        """Return the bytes of a file that the task's key names by its SHA-256.

        Raises ChangedFileError if the file has changed.
        """
        return self._engine.source(digest)

    def source_file(self, digest: str) -> AbstractContextManager[Path]:
        """Give the path of such a file, for one too large to hold in memory. The file must stay the same meanwhile.

        Raises ChangedFileError if the file has changed.
        """
        return self._engine.source_file(digest)

    def keep(self, content: bytes) -> str:
        """Store bytes as a file that the result refers to.

        Return the digest by which `kept_file` returns the bytes.
        """
        digest = self._engine.keep(content)
        self.kept.add(digest)
        return digest

    def kept_file(self, task: Task[Any], key: str, digest: str) -> bytes:
        """Return the bytes of a file that the result of another task refers to. A damaged file is made again."""
        return self._engine.kept_file(task, key, digest)

    def _record(self, question: str) -> None:
        if question not in self._answers:
            self._answers[question] = self._engine.answer(question)

    def _record_part(self, place: str, name: str) -> None:
        self._record(f"part {place} {name}")

    def _record_day(self, day: Any, _answer: bool) -> None:
        self._record(f"day {day.isoformat()}")


class _Parts(Generic[T]):
    """A proxy for an object that records which of its attributes are read. Methods and properties run on it too."""

    def __init__(self, value: T, record: Any) -> None:
        object.__setattr__(self, "_value", value)
        object.__setattr__(self, "_record", record)

    def __getattr__(self, name: str) -> Any:
        value, record = object.__getattribute__(self, "_value"), object.__getattribute__(self, "_record")
        own = getattr(type(value), name, None)
        if isinstance(own, property) and own.fget is not None:
            return own.fget(self)
        if isinstance(own, FunctionType) and own.__module__.startswith("sitegen."):
            return own.__get__(self)
        record(name)
        return getattr(value, name)


def digest_of_part(value: Any, name: str) -> str:
    """Return the digest of one attribute. For a record type, the set of stated keys counts too."""
    part = getattr(value, name)
    if callable(part):  # a method of a library may read anything
        part = value
    return sha256(repr((part, _written(part))).encode(errors="surrogateescape")).hexdigest()


def _written(value: Any) -> Any:
    if hasattr(value, "model_dump_json"):
        return value.model_dump_json(exclude_unset=True)
    if isinstance(value, tuple | list):
        return [_written(each) for each in value]
    return [_written(each) for each in value.values()] if isinstance(value, Mapping) else None
