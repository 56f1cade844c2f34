"""`map_task`: brings one task up to date for many keys, on this process, local workers, or a Dask cluster.

A task reads where it runs, and its trace returns with the result. Local workers read the store's files and the result
store themselves. Workers of a cluster have no access to them: such a worker answers with the question that it cannot
answer, and gets the key again together with the answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, TypeVar

from sitegen.engine.engine import Done, Engine, Fail, Setup
from sitegen.engine.errors import ChangedFileError, ClusterError
from sitegen.engine.file_states import clock_of_disk
from sitegen.engine.program_identity import digest_of_program
from sitegen.engine.result_store import ResultStore
from sitegen.engine.task import INPUTS, Task, task_named
from sitegen.engine.workers import run_bounded

T = TypeVar("T")
Progress = Callable[[int, int, str], None]
"""Receives how many keys are done, of how many to compute, and the last one."""

WORTH_WORKERS = 4.0
"""Seconds of work from which on starting workers is worth it."""
BATCH_SECONDS = 0.4
"""Work that is handed to a worker at a time."""


@dataclass(frozen=True)
class Executors:
    """Who runs tasks besides this process. `near` has the store's files; `far` need not, and is a cluster's."""

    near: Executor | None = None
    far: Executor | None = None
    worth_workers: float = WORTH_WORKERS


HERE = Executors()


def _raise(_key: str, fault: Exception) -> None:
    raise fault


def map_task(
    engine: Engine,
    task: Task[Any],
    keys: Iterable[str],
    executors: Executors = HERE,
    fail: Fail = _raise,
    progress: Progress = lambda *_: None,
    megabytes: Callable[[str], float] | None = None,
) -> list[str]:
    """Bring a task's results up to date for all keys. Return the keys for which there is a result, in order.

    If a task raises an exception on a worker, it is run again in this process. The exception then goes to `fail`;
    without `fail`, it is raised.
    """
    keys = list(dict.fromkeys(keys))
    invalid = [key for key in keys if not engine.is_valid(task, key)]
    chosen = executors.near if task.is_near else executors.far or executors.near
    weigh = megabytes or (lambda _: task.megabytes)
    computed = 0
    if invalid and chosen is not None and len(invalid) * task.seconds > executors.worth_workers:
        is_far = chosen is executors.far
        engine.mark_verified()
        run = _run_far if is_far else _run_near
        for key in run(engine, task, invalid, chosen, weigh):
            computed += 1
            progress(computed, len(invalid), key)
    failed = set()
    for key in invalid:
        if engine.is_valid(task, key):
            continue
        try:
            engine.digest(task, key)
        except Exception as fault:
            fail(key, fault)
            failed.add(key)
        if task.seconds > BATCH_SECONDS:
            engine.store.commit()
        computed += 1
        progress(computed, len(invalid), key)
    return [key for key in keys if key not in failed]


def _batches(
    task: Task[Any], keys: Sequence[str], megabytes: Callable[[str], float]
) -> Iterator[tuple[Sequence[str], float]]:
    size = max(1, int(BATCH_SECONDS / task.seconds))
    for start in range(0, len(keys), size):
        batch = keys[start : start + size]
        yield batch, sum(map(megabytes, batch))


def _run_near(
    engine: Engine, task: Task[Any], keys: Sequence[str], workers: Executor, megabytes: Callable[[str], float]
) -> Iterator[str]:
    def submit(executor: Executor, batch: Sequence[str]) -> Future[_Batch]:
        sources = {digest: engine.sources[digest] for key in batch for digest in task.sources(key)}
        return executor.submit(_work, engine.setup, task.name, batch, sources)

    for _, batch in run_bounded(workers, submit, _batches(task, keys, megabytes)):
        for done in batch.done:
            engine.take(done)
        for path, status, digest in batch.digests:
            engine.store.store_digest_of_file(path, status, digest)
        engine.store.commit()  # so that a command that is killed loses nothing that was computed
        yield from batch.keys


@dataclass
class _Batch:
    """The results that a worker returns for some keys."""

    keys: list[str] = field(default_factory=list)
    """Those whose task gave a result."""
    done: list[Done] = field(default_factory=list)
    digests: list[tuple[str, str, str]] = field(default_factory=list)
    """Digests of input files, to be stored."""
    missing: dict[str, str] = field(default_factory=dict)
    """For each key that needs an answer from the command's process: the question."""
    files: dict[str, bytes] = field(default_factory=dict)
    """Large results, where the worker does not share the result store's folder."""


def _work(setup: Setup, name: str, keys: Sequence[str], sources: dict[str, Path]) -> _Batch:
    """Return the results of a task for some keys. This runs in a local worker."""
    engine = _engine_of_worker(setup)
    engine.sources = sources
    return _run_batch(engine, name, keys)


def _run_batch(engine: _WorkersEngine, name: str, keys: Sequence[str]) -> _Batch:
    task, batch = task_named(name), _Batch()
    for key in keys:
        try:
            engine.digest(task, key)
            batch.keys.append(key)
        except MissingAnswer as missing:
            batch.missing[key] = missing.question
        except Exception:  # met again in the command's process, where its place can be named
            continue
    batch.done = [done for done in engine.done if (done.task, done.key) not in engine.sent]
    engine.sent.update((done.task, done.key) for done in batch.done)
    engine.done.clear()
    batch.digests = engine.store.take_pending()
    return batch


class _WorkersEngine(Engine):
    """An engine that stores nothing in the database: it hands its results to the command's process."""

    def __init__(self, setup: Setup, store: ResultStore, clock_ns: int) -> None:
        super().__init__(setup, store, clock_ns)
        self.done: list[Done] = []
        self.sent: set[tuple[str, str]] = set()

    def _store(self, done: Done) -> None:
        self.done.append(done)

    def _note_intact(self, place: tuple[str, str], status: str) -> None:
        """Note nothing: the command's process does."""


@lru_cache(maxsize=1)
def _engine_of_worker(setup: Setup) -> _WorkersEngine:
    store = ResultStore(setup.cache, lambda _: None, 0)  # on no day: a worker writes nothing into the database
    return _WorkersEngine(setup, store, clock_of_disk(setup.cache))


class MissingAnswer(Exception):  # noqa: N818  # it asks for something, and is no fault
    """A question that only the command's process can answer."""

    def __init__(self, question: str) -> None:
        super().__init__(question)
        self.question = question


@dataclass
class _Supply:
    """Answers that travel to a worker of a cluster."""

    results: list[tuple[Done, bytes]] = field(default_factory=list)
    files: dict[str, bytes | None] = field(default_factory=dict)
    """Files of the store, by path; None is for one that is missing."""
    kept: dict[str, bytes] = field(default_factory=dict)
    inputs: set[str] = field(default_factory=set)

    def add(self, other: _Supply) -> None:
        self.results += other.results
        self.files |= other.files
        self.kept |= other.kept
        self.inputs |= other.inputs


def _run_far(
    engine: Engine, task: Task[Any], keys: Sequence[str], workers: Executor, megabytes: Callable[[str], float]
) -> Iterator[str]:
    """Run a task on a cluster, and yield each finished key.

    The first key shows which results every key needs, and which files all share. Raises ClusterError.
    """
    shared, asked_of_own = _Supply(), dict[str, None]()
    own: dict[str, _Supply] = {}

    def submit(executor: Executor, batch: Sequence[str]) -> Future[_Batch]:
        supply = _Supply()
        supply.add(shared)
        supplied = []
        for key in batch:
            questions = [f"source {digest}" for digest in task.sources(key)]
            questions += [question.replace("\0", key) for question in asked_of_own]
            answers = [_supply_or_none(engine, question) for question in questions]
            if None not in answers:
                supplied.append(key)
                for answer in (own.get(key), *answers):
                    supply.add(answer or _Supply())
        return executor.submit(_work_far, engine.setup, task.name, supplied, supply)

    for waiting in (list(keys[:1]), list(keys[1:])):
        while waiting:
            again: list[str] = []
            for batch_keys, batch in run_bounded(workers, submit, _batches(task, waiting, megabytes)):
                for digest, content in batch.files.items():
                    if engine.store.put_file(content) != digest:
                        raise ClusterError("a worker returned a file that is not the one that it names")
                for done in batch.done:
                    _check(engine, done)
                    engine.take(done)
                for key in batch_keys:
                    question = batch.missing.get(key)
                    answer = None if question is None else _supply_or_none(engine, question)
                    if question is None or answer is None:
                        own.pop(key, None)
                        continue
                    again.append(key)
                    if question.startswith("input "):
                        shared.add(answer)
                        continue
                    own.setdefault(key, _Supply()).add(answer)
                    if question.endswith(f" {key}"):
                        asked_of_own[question.removesuffix(key) + "\0"] = None
                yield from batch.keys
            waiting = again


def _supply_or_none(engine: Engine, question: str) -> _Supply | None:
    """Return the answer to a worker's question.

    None if finding it raises an exception, which is met again when the key is run in this process.
    """
    try:
        return _supply(engine, question)
    except ClusterError:
        raise
    except Exception:
        return None


def _supply(engine: Engine, question: str) -> _Supply:
    """Return the answer to a worker's question, in the form in which it is sent."""
    kind, _, key = question.partition(" ")
    match kind:
        case "file":
            file = engine.folder / key
            return _Supply(files={key: file.read_bytes() if file.is_file() else None})
        case "source":
            return _Supply(kept={key: engine.source(key)})
        case "kept":
            named, _, digest = key.rpartition(" ")
            name, _, own_key = named.partition(" ")
            return _Supply(kept={digest: engine.kept_file(task_named(name), own_key, digest)})
        case "input":
            name, _, own_key = key.partition(" ")
            files = {}
            for place in INPUTS[name].places(engine.folder, own_key):
                for each in (place, *(place.rglob("*") if place.is_dir() else ())):
                    if each.is_relative_to(engine.folder) and each.is_file():
                        files[each.relative_to(engine.folder).as_posix()] = each.read_bytes()
            return _Supply(files=files, inputs={key})
        case "result":
            name, _, own_key = key.partition(" ")
            task = task_named(name)
            engine.result(task, own_key)
            found = engine.store.find(name, own_key)
            content = engine.store.content(name, own_key, found.digest) if found else None
            if found is None or content is None:
                raise ClusterError(f"the result of {name} for {own_key} cannot be stored, so no worker can use it")
            return _Supply(results=[(Done(name, own_key, found, None), content)])
    raise ClusterError(f"a task that runs on a cluster asks for {question}, which only this machine has")


def _check(engine: Engine, done: Done) -> None:
    """Raise ClusterError if a worker read other files than there are here."""
    for question, answer in done.found.trace:
        if engine.answer(question) != answer:
            what = question.partition(" ")[2]
            raise ClusterError(f"a worker has other files than this machine, or lacks some: {what}")


def _work_far(setup: Setup, name: str, keys: Sequence[str], supply: _Supply) -> _Batch:
    """Return the results of a task for some keys. This runs in a worker of a cluster.

    Raises ClusterError if the worker has another version of the program.
    """
    if digest_of_program() != setup.code:
        raise ClusterError("a worker has another version of this program; install the same program on both")
    engine = _far_engine(setup)
    engine.receive(supply)
    batch = _run_batch(engine, name, keys)
    for done in batch.done:
        large = [done.found.digest] if done.small is None else []
        batch.files |= {digest: engine.store.file(digest) or b"" for digest in (*large, *done.found.files)}
    return batch


class _FarEngine(_WorkersEngine):
    """An engine in a worker of a cluster. It reads only the files that it was sent, and the program's own files."""

    def __init__(self, setup: Setup, store: ResultStore, clock_ns: int) -> None:
        super().__init__(setup, store, clock_ns)
        self.place: TemporaryDirectory[str] | None = None
        """Deleted when the engine is."""
        self._files: set[str] = set()
        self._inputs: set[str] = set()

    def receive(self, supply: _Supply) -> None:
        for path, content in supply.files.items():
            if content is not None:
                (self.folder / path).parent.mkdir(parents=True, exist_ok=True)
                (self.folder / path).write_bytes(content)
        self._files |= supply.files.keys()
        self._inputs |= supply.inputs
        for digest, content in supply.kept.items():
            self.store.put_file(content, digest)
        for done, content in supply.results:
            self.store.put(done.task, done.key, done.found, self.store.packed(content, done.found.digest))
            self._verified[done.task, done.key] = done.found.digest

    def answer(self, question: str) -> str:
        kind, _, key = question.partition(" ")
        if (kind == "file" and key not in self._files) or kind in ("names", "tree"):
            raise MissingAnswer(question)
        if kind == "input" and key not in self._inputs:
            raise MissingAnswer(question)
        return super().answer(question)

    def loaded(self, kind: Any, key: str) -> Any:
        if f"{kind.name} {key}" not in self._inputs:
            raise MissingAnswer(f"input {kind.name} {key}")
        return super().loaded(kind, key)

    def source(self, digest: str) -> bytes:
        content = self.store.file(digest)
        if content is None:
            raise ChangedFileError(f"the file {digest} changed before it was sent")
        return content

    def source_path(self, digest: str) -> Path:
        return self.store.files / digest

    def kept_file(self, task: Task[Any], key: str, digest: str) -> bytes:
        content = self.store.file(digest)
        if content is None:
            raise MissingAnswer(f"kept {task.name} {key} {digest}")
        return content

    def result(self, task: Task[Any], key: str) -> Any:
        if (task.name, key) not in self._verified:
            raise MissingAnswer(f"result {task.name} {key}")
        return super().result(task, key)


@lru_cache(maxsize=1)
def _far_engine(setup: Setup) -> _FarEngine:
    place = TemporaryDirectory(prefix="sitegen-")
    folder = Path(place.name)
    mine = Setup(folder, folder / ".cache", setup.today, setup.code, setup.session)
    store = ResultStore(mine.cache, lambda _: None, setup.today.toordinal())
    engine = _FarEngine(mine, store, clock_of_disk(mine.cache))
    engine.place = place
    return engine
