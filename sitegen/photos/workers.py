"""Runs photo after photo on every core, or on an executor that was handed in, with a bounded amount in flight."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, wait
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Generic, TypeVar

Task = TypeVar("Task")
Result = TypeVar("Result")

MEGAPIXELS_IN_FLIGHT = 110
"""How much may be decoded at once: two photos of 50 megapixels. Pillow holds four bytes a pixel."""
MOST_IN_FLIGHT = 64
"""Photos handed out at once: enough to keep a cluster busy, few enough to hold their files in memory."""


@dataclass(frozen=True)
class Weighed(Generic[Task]):
    """A task, and how many megapixels it may have to decode."""

    task: Task
    megapixels: float


@contextmanager
def all_cores(photos: int) -> Iterator[Executor]:
    """Give an executor with one worker for each core, but no more than there are photos."""
    # Started afresh, not forked: a fork copies whatever threads and locks the caller has.
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(max(1, min(usable_cores(), photos)), mp_context=context) as executor:
        yield executor


def usable_cores() -> int:
    """Return how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def run_bounded(
    executor: Executor, submit: Callable[[Executor, Task], Future[Result]], tasks: Iterable[Weighed[Task]]
) -> Iterator[tuple[Task, Result]]:
    """Yield each task with its result as it comes, never having more in flight than the bounds above allow.

    A task that is over the bound alone runs alone. When the caller stops listening, what has not begun is canceled.
    """
    running: dict[Future[Result], Weighed[Task]] = {}
    try:
        for weighed in tasks:
            while running and not _has_room(running.values(), weighed):
                yield from _finished(running)
            running[submit(executor, weighed.task)] = weighed
        while running:
            yield from _finished(running)
    finally:
        for future in running:
            future.cancel()


def _has_room(running: Iterable[Weighed[Task]], coming: Weighed[Task]) -> bool:
    weights = [weighed.megapixels for weighed in running]
    return len(weights) < MOST_IN_FLIGHT and sum(weights) + coming.megapixels <= MEGAPIXELS_IN_FLIGHT


def _finished(running: dict[Future[Result], Weighed[Task]]) -> Iterator[tuple[Task, Result]]:
    done, _ = wait(running, return_when=FIRST_COMPLETED)
    for future in done:
        yield running.pop(future).task, future.result()
