"""Runs calls on every core, or on an executor that was handed in, with a bounded amount in flight."""

from __future__ import annotations

import math
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from multiprocessing.process import BaseProcess
from queue import Empty, SimpleQueue
from typing import TypeVar

from sitegen.garbage import collect_garbage_seldom

Task = TypeVar("Task")
Result = TypeVar("Result")

MEGABYTES_A_WORKER = 230
"""What tasks may take for each local worker: two workers and the parent stay under 600 MB together."""
CHECK_EVERY = 2.0
"""Seconds after which a cluster that has not answered is asked whether it still has workers."""
MOST_IN_FLIGHT = 64
"""Tasks handed out at once: enough to keep a cluster busy, few enough to hold what they take along in memory."""


class LocalWorkers(ProcessPoolExecutor):
    """Worker processes on this machine: a given number, or one for each core."""

    def __init__(self, count: int | None = None) -> None:
        self.count = count or usable_cores()
        # Started afresh, not forked: a fork copies whatever threads and locks the caller has.
        context = multiprocessing.get_context("spawn")
        super().__init__(self.count, mp_context=context, initializer=_begin)


def usable_cores() -> int:
    """Return how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def run_bounded(
    executor: Executor,
    submit: Callable[[Executor, Task], Future[Result]],
    tasks: Iterable[tuple[Task, float]],
) -> Iterator[tuple[Task, Result]]:
    """Yield each task with its result as it comes, never having more in flight than the bounds above allow.

    Each task comes with the megabytes that it may take. A task that exceeds the bound alone runs alone. When the
    caller closes the iterator, tasks that have not begun are canceled.
    """
    bound = executor.count * MEGABYTES_A_WORKER if isinstance(executor, LocalWorkers) else math.inf
    running: dict[Future[Result], tuple[Task, float]] = {}
    # Not concurrent.futures.wait: an interrupt from the keyboard within it may leave a future locked for ever.
    done: SimpleQueue[Future[Result]] = SimpleQueue()
    try:
        for task, megabytes in tasks:
            while running and not _has_room([taken for _, taken in running.values()], megabytes, bound):
                yield _next(executor, running, done)
            future = submit(executor, task)
            running[future] = (task, megabytes)
            future.add_done_callback(done.put)
        while running:
            yield _next(executor, running, done)
    finally:
        for future in running:
            future.cancel()


def _has_room(running: list[float], coming: float, bound: float) -> bool:
    return len(running) < MOST_IN_FLIGHT and sum(running) + coming <= bound


def _next(
    executor: Executor, running: dict[Future[Result], tuple[Task, float]], done: SimpleQueue[Future[Result]]
) -> tuple[Task, Result]:
    check = getattr(executor, "check", None)  # a cluster may lose its last worker
    while True:
        try:
            future = done.get(timeout=CHECK_EVERY if check else None)
            return running.pop(future)[0], future.result()
        except Empty:
            assert check is not None
            check()


def _begin() -> None:
    collect_garbage_seldom()
    _live_and_die_with_the_parent()


def _live_and_die_with_the_parent() -> None:
    """Leave an interrupt from the keyboard to the parent; if the parent is killed, end too instead of waiting on."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_after, args=(parent,), daemon=True).start()


def _end_after(parent: BaseProcess) -> None:
    parent.join()
    os._exit(1)
