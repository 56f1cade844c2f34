"""The engine: brings results up to date by verifying traces, with early cutoff.

Source: A. Mokhov, N. Mitchell, S. Peyton Jones, "Build Systems a la Carte", 2018: a stored result is valid while
every recorded answer is unchanged. A task that runs again and gives an equal result leaves those that read it valid.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date
from hashlib import file_digest, sha256
from pathlib import Path
from secrets import token_hex
from types import TracebackType
from typing import Any, Self, TypeVar

from sitegen.engine.days import TrackedDay
from sitegen.engine.errors import ChangedFileError
from sitegen.engine.file_states import FileStates, clock_of_disk
from sitegen.engine.program_identity import digest_of_program
from sitegen.engine.programs import digest_of_version
from sitegen.engine.reader import Reader, digest_of_part
from sitegen.engine.result_store import Answers, ResultStore, StoredResult
from sitegen.engine.task import INPUTS, Codec, Input, Task, task_named

T = TypeVar("T")
Fail = Callable[[str, Exception], None]
"""Receives the key of a task that raised, and the exception."""

UNKNOWN = "unknown"
_VALUES = 64
"""Decoded results that are held at a time: tasks of one vehicle read the same few."""


@dataclass(frozen=True)
class Setup:
    """The settings of a worker, so that it answers as the command's own process does."""

    folder: Path
    cache: Path
    today: date
    code: str
    session: str


@dataclass(frozen=True)
class Done:
    """A result as a worker returns it to the command's process."""

    task: str
    key: str
    found: StoredResult
    small: bytes | None
    """The packed result of `ResultStore.packed`."""


class Engine:
    """Answers what tasks ask about one store, and runs those whose results are no longer valid."""

    def __init__(self, setup: Setup, store: ResultStore, clock_ns: int) -> None:
        self.setup, self.store = setup, store
        self.folder, self.today = setup.folder, setup.today
        self.states = FileStates(setup.folder, store, clock_ns)
        self.until = date.max
        """The first day on which an answer that was given may be another."""
        self.ran: list[tuple[str, str]] = []
        """Task and key of each task that was run."""
        self._verified: dict[tuple[str, str], str] = {}
        self._with_files: dict[tuple[str, str], str] = {}
        """The status of the files of each result that has some."""
        self.sources: dict[str, Path] = {}
        """Where the files are that keys name by their SHA-256."""
        self._unmarked: list[tuple[str, str]] = []
        self._given: dict[tuple[str, str], tuple[Codec[Any], Any]] = {}
        self._is_stored: set[tuple[str, str]] = set()
        self._running: set[tuple[str, str]] = set()
        self._known: dict[str, str] = {}
        self._loaded: dict[tuple[str, str], Any] = {}
        self._values: OrderedDict[tuple[str, str], Any] = OrderedDict()

    @classmethod
    def opened(cls, folder: Path, today: date, warn: Callable[[str], None], cache: Path | None = None) -> Self:
        """Return the engine of a store. Raises OSError where its cache cannot be written."""
        store = ResultStore(cache or folder / ".cache", warn, today.toordinal())
        clock_ns = clock_of_disk(store.folder)
        setup = Setup(folder, store.folder, today, digest_of_program(), token_hex(8))
        return cls(setup, store, clock_ns)

    @property
    def day(self) -> TrackedDay:
        """The current day, for code outside any task. Comparing it with a later day limits `until`, as in a task."""
        return TrackedDay(self.today, lambda day, _: self.answer(f"day {day.isoformat()}"))

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, raised: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.store.close()

    def settle(self) -> None:
        """Write pending results, and delete unused ones. Results can still be read."""
        self.store.settle()

    def result(self, task: Task[T], key: str) -> T:
        """Return the result of a task. Run the task only if its stored result is no longer valid."""
        place = (task.name, key)
        if place in self._given:
            given: T = self._given[place][1]
            return given
        digest = self.digest(task, key)
        if place in self._values:
            self._values.move_to_end(place)
            value: T = self._values[place]
            return value
        content = self._content(place, digest)
        if content is None:  # damaged
            self._verified.pop(place, None)
            self._run(task, key)
            return self.result(task, key) if place not in self._values else self._values[place]
        return self._hold(place, task.codec.decode(content))

    def give(self, task: Task[T], key: str, value: T) -> None:
        """Set the value of something that is declared as `given`. Values of earlier commands never count."""
        self._given[task.name, key] = task.codec, value
        self._verified[task.name, key] = sha256(task.codec.encode(value)).hexdigest()

    def digest(self, task: Task[Any], key: str) -> str:
        """Return the digest of a task's result, once that is up to date."""
        if not self.is_valid(task, key):
            self._run(task, key)
        return self._verified[task.name, key]

    def is_valid(self, task: Task[Any], key: str) -> bool:
        """Return whether a result is stored whose recorded answers are all unchanged.

        If so, it counts as verified from now on.
        """
        place = (task.name, key)
        if place in self._verified:
            return True
        found = self.store.find(*place)
        if found is None or found.code != self.setup.code:
            return False
        is_marked = found.session == self.setup.session
        if not (is_marked or self.holds(found.trace)) or not self._is_intact(place, found):
            return False
        if not is_marked:
            self._unmarked.append(place)
        self._verified[place] = found.digest
        return True

    def _is_intact(self, place: tuple[str, str], found: StoredResult) -> bool:
        """Return whether the files of a result have their digests: by their status, or else by their bytes."""
        if not found.files:
            return True
        status = self.store.files_status(found.files)
        if status is None:
            return False
        if status.whole != found.intact:
            if not all(self.store.file(digest) is not None for digest in found.files):
                return False
            if not self.states.is_young(status.newest_ns):
                self._note_intact(place, status.whole)
        self._with_files[place] = status.lasting
        return True

    def _note_intact(self, place: tuple[str, str], status: str) -> None:
        self.store.note_intact(*place, status)

    def note_linked(self) -> None:
        """Store the status of result files again.

        Hard-linking a file into a publication changes its time of status.
        """
        for place, lasting in self._with_files.items():
            found = self.store.find(*place)
            status = None if found is None else self.store.files_status(found.files)
            if status is not None and status.lasting == lasting:
                self.store.note_intact(*place, status.whole)

    def holds(self, trace: Answers) -> bool:
        """Return whether every question of a trace still has the same answer."""
        return all(answer not in ("failed", UNKNOWN) and self.answer(asked) == answer for asked, answer in trace)

    def answer(self, question: str) -> str:
        """Return the digest of the answer to a question."""
        kind, _, key = question.partition(" ")
        if kind not in KINDS:
            return UNKNOWN
        return KINDS[kind](self, key)

    def loaded(self, kind: Input[T], key: str) -> T:
        """Return an input. It is loaded on first use only."""
        if (kind.name, key) not in self._loaded:
            self._digest_of_input(f"{kind.name} {key}")  # before it is loaded: what changes meanwhile is seen later
            self._loaded[kind.name, key] = kind.load(self.folder, key)
        value: T = self._loaded[kind.name, key]
        return value

    def keep(self, content: bytes) -> str:
        """Store bytes as a file, and return their digest."""
        return self.store.put_file(content)

    def kept_file(self, task: Task[Any], key: str, digest: str) -> bytes:
        """Return the bytes of a file that a task's result refers to.

        If they are missing or damaged, run the task again. Raises KeyError if it does not make that file.
        """
        content = self.store.file(digest)
        if content is None:
            self._run(task, key)
            content = self.store.file(digest)
        if content is None:
            raise KeyError(digest)
        return content

    def source(self, digest: str) -> bytes:
        """Return the bytes of an input file, by their SHA-256. Raises ChangedFileError if the file has changed."""
        try:
            content = self.sources[digest].read_bytes()
        except OSError:
            content = b""
        if sha256(content).hexdigest() != digest:
            raise ChangedFileError(f"{self.sources[digest]} changed while it was read")
        return content

    @contextmanager
    def source_file(self, digest: str) -> Iterator[Path]:
        """Give the path of an input file, by its SHA-256, for a file too large to hold in memory.

        Raises ChangedFileError if its bytes are others, or if it changes before the block ends.
        """
        path = self.source_path(digest)
        before = _identity(path)
        if before is None or not _has_digest(path, digest):
            raise ChangedFileError(f"{path} changed while it was read")
        yield path
        if _identity(path) != before:
            raise ChangedFileError(f"{path} changed while it was read")

    def source_path(self, digest: str) -> Path:
        """Return where an input file is, by its SHA-256."""
        return self.sources[digest]

    def mark_verified(self) -> None:
        """Store which results were verified here, and the values of `give`.

        Workers then read them without verification.
        """
        for place in self._given.keys() - self._is_stored:
            codec, value = self._given[place]
            content, digest = codec.encode(value), self._verified[place]
            found = StoredResult(self.setup.code, _GIVEN, digest, (), self.setup.session)
            self.store.put(*place, found, self.store.packed(content, digest))
            self._is_stored.add(place)
        marked, self._unmarked = self._unmarked, []
        self.store.mark_verified(marked, self.setup.session)

    def take(self, done: Done) -> None:
        """Store a result that a worker computed."""
        place = (done.task, done.key)
        self._values.pop(place, None)
        for question, _ in done.found.trace:
            if question.startswith("day "):
                self.answer(question)
        self.store.put(*place, done.found, done.small)
        self._note_files(place, done.found)
        self._verified[place] = done.found.digest
        self.ran.append(place)

    def _run(self, task: Task[T], key: str) -> T:
        place = (task.name, key)
        if place in self._running:
            raise RuntimeError(f"{task.name} reads its own result of {key}")
        self._running.add(place)
        try:
            reader = Reader(self)
            value = task.function(reader, key)
        finally:
            self._running.discard(place)
        content = task.codec.encode(value)
        found = StoredResult(
            self.setup.code, reader.trace, sha256(content).hexdigest(), tuple(sorted(reader.kept)), self.setup.session
        )
        if not self._is_stable(reader.trace):  # a file changed while the task ran: the next build runs it again
            found = replace(found, code="")
        self._store(Done(*place, found, self.store.packed(content, found.digest)))
        self._note_files(place, found)
        self._verified[place] = found.digest
        self.ran.append(place)
        return self._hold(place, value)

    def _note_files(self, place: tuple[str, str], found: StoredResult) -> None:
        status = self.store.files_status(found.files) if found.files else None
        if status is not None:
            self._with_files[place] = status.lasting

    def _store(self, done: Done) -> None:
        self.store.put(done.task, done.key, done.found, done.small)

    def _content(self, place: tuple[str, str], digest: str) -> bytes | None:
        return self.store.content(*place, digest)

    def _is_stable(self, trace: Answers) -> bool:
        return all(self.answer(asked) == answer for asked, answer in trace if asked.startswith(_OF_FILES))

    def _hold(self, place: tuple[str, str], value: T) -> T:
        self._values[place] = value
        if len(self._values) > _VALUES:
            self._values.popitem(last=False)
        return value

    def _digest_of_input(self, key: str) -> str:
        known = self._known.get(f"input {key}")
        if known is None:
            name, _, own_key = key.partition(" ")
            if name not in INPUTS:
                return UNKNOWN  # the module that declares it is not loaded yet: the task runs, and loads it
            known = self._known[f"input {key}"] = self._digest_of_places(INPUTS[name].places(self.folder, own_key))
        return known

    def _digest_of_places(self, places: Iterable[Path]) -> str:
        together = sha256()
        for place in places:
            path = place.relative_to(self.folder).as_posix() if place.is_relative_to(self.folder) else str(place)
            digest = self.states.digest_of_tree(path) if place.is_dir() else self.states.digest(path)
            together.update(f"{place.name} {digest}\n".encode())
        return together.hexdigest()

    def _digest_of_part(self, key: str) -> str:
        known = self._known.get(f"part {key}")
        if known is None:
            place, _, name = key.rpartition(" ")
            kind, _, own_key = place.partition(" ")
            if kind not in INPUTS:
                return UNKNOWN
            value = self.loaded(INPUTS[kind], own_key)
            known = "none" if value is None else digest_of_part(value, name)
            self._known[f"part {key}"] = known
        return known

    def _digest_of_result(self, key: str) -> str:
        name, _, own_key = key.partition(" ")
        known = self._verified.get((name, own_key))
        if known is not None:
            return known
        try:
            return self.digest(task_named(name), own_key)
        except Exception:  # the task that asks for it meets the same exception where its place can be named
            return "failed"

    def _answer_of_day(self, key: str) -> str:
        day = date.fromisoformat(key)
        if date.__ge__(self.today, day):
            return "yes"
        self.until = min(self.until, day)
        return "no"

    def _version_of_program(self, key: str) -> str:
        if key not in self._known:
            self._known[key] = digest_of_version(*key.split(" ", 1))
        return self._known[key]


KINDS: dict[str, Callable[[Engine, str], str]] = {
    "file": lambda engine, key: engine.states.digest(key),
    "names": lambda engine, key: engine.states.digest_of_names(key),
    "tree": lambda engine, key: engine.states.digest_of_tree(key),
    "input": Engine._digest_of_input,
    "part": Engine._digest_of_part,
    "result": Engine._digest_of_result,
    "day": Engine._answer_of_day,
    "program": Engine._version_of_program,
}
"""How each kind of question is answered."""
_GIVEN = (("given", ""),)
"""A trace that never holds: what it belongs to is valid only in the command that gave it."""
_OF_FILES = ("file ", "names ", "tree ")


def _identity(path: Path) -> tuple[int, ...] | None:
    """Return what changes when a file is written or replaced. None if it is not there."""
    try:
        status = path.stat()
    except OSError:
        return None
    return status.st_dev, status.st_ino, status.st_size, status.st_mtime_ns, status.st_ctime_ns


def _has_digest(path: Path, digest: str) -> bool:
    try:
        with path.open("rb") as content:
            return file_digest(content, "sha256").hexdigest() == digest
    except OSError:
        return False
