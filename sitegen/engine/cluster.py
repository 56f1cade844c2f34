"""An executor whose workers belong to a Dask scheduler, on any machines. Needs the extra `cluster`.

The workers need the same version of this program, of Python and of its packages: that is checked before work begins.
"""

from __future__ import annotations

import socket
import time
import warnings
from collections.abc import Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from importlib import import_module
from typing import Any
from urllib.parse import urlsplit

from sitegen.engine.errors import ClusterError
from sitegen.engine.program_identity import first_difference, program_identity

WAIT = 4.0
"""Seconds to wait for the scheduler, then for its workers, and for an answer of theirs: twice this in all."""


class ClusterExecutor(Executor):
    """Runs functions on a cluster. It raises an error if no worker is left."""

    def __init__(self, client: Any, address: str) -> None:
        self._client, self._address = client, address
        self._executor = client.get_executor(pure=False)
        self._alone_since: float | None = None

    def submit(self, function: Any, /, *arguments: Any, **named: Any) -> Future[Any]:
        """Run a function on any worker. If the worker is lost, another runs it."""
        future: Future[Any] = self._executor.submit(function, *arguments, **named)
        return future

    def check(self) -> None:
        """Raise ClusterError if the scheduler has been unreachable, or without a worker, for some seconds."""
        has_worker = self._client.status == "running" and bool(_workers(self._client))
        if has_worker:
            self._alone_since = None
            return
        self._alone_since = self._alone_since or time.monotonic()
        if time.monotonic() - self._alone_since > WAIT:
            raise ClusterError(f"the scheduler at {self._address} has no worker any more; start one, and build again")


@contextmanager
def cluster_workers(address: str) -> Iterator[ClusterExecutor]:
    """Yield the executor of the scheduler at an address, such as tcp://10.0.0.5:8786. Raises ClusterError."""
    try:
        distributed: Any = import_module("distributed")
    except ImportError:
        raise ClusterError("a scheduler needs the packages of sitegen[cluster]; install those") from None
    try:
        _check_scheduler(address)
        client = distributed.Client(address, timeout=WAIT, set_as_default=False)
    except (OSError, ValueError):
        raise ClusterError(f"no scheduler answers at {address}; start one, or correct the address") from None
    with client, warnings.catch_warnings():
        # Dask would rather leave so many bytes with one worker beforehand; with that worker they could be lost.
        warnings.filterwarnings("ignore", message="Sending large graph", category=UserWarning)
        _check_workers(client, address)
        yield ClusterExecutor(client, address)


def _check_scheduler(address: str) -> None:
    """Raise OSError or ValueError if nothing answers at an address. Dask would wait for ever for a first word."""
    place = urlsplit(address)
    if place.scheme == "tcp":  # with others, such as tls, it is for us to speak first
        with socket.create_connection((place.hostname, place.port or 0), timeout=WAIT) as opened:
            if not opened.recv(1):
                raise ConnectionError(f"{address} says nothing")


def _check_workers(client: Any, address: str) -> None:
    """Raise ClusterError unless there are workers and each runs this version of the program."""
    until = time.monotonic() + WAIT
    try:
        client.wait_for_workers(1, timeout=WAIT)
    except TimeoutError:
        raise ClusterError(f"the scheduler at {address} has no workers; start some") from None
    asked = {
        worker: client.submit(program_identity, workers=[worker], pure=False, allow_other_workers=False)
        for worker in _workers(client)
    }
    for worker, future in asked.items():
        try:
            identity = future.result(timeout=max(0.1, until - time.monotonic()))
        except TimeoutError:
            raise ClusterError(f"the worker at {worker} does not answer; restart it") from None
        except Exception as fault:  # whatever a worker raises that cannot load the program
            raise ClusterError(f"the worker at {worker} cannot load this program ({fault}); install it") from None
        difference = first_difference(program_identity(), identity)
        if difference is not None:
            raise ClusterError(f"the worker at {worker} {difference}; install the same program on both")


def _workers(client: Any) -> list[str]:
    return list(client.scheduler_info(n_workers=-1)["workers"])
