"""An executor whose workers are on other machines: those of a Dask scheduler. Needs the extra `cluster`.

What is worked on travels with its task, and bytes come back, so that no disk need be shared. The machines need the
same version of this program, of Python and of its libraries, for the bytes to be the same as here.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from importlib import import_module
from typing import Any

WAIT = "5s"
"""How long to try to reach the scheduler."""


class NoClusterError(Exception):
    """The scheduler cannot be used; the message says why, and how to mend it."""


@contextmanager
def cluster_workers(address: str) -> Iterator[Executor]:
    """Give the executor of the scheduler at an address, such as tcp://10.0.0.5:8786. Raises NoClusterError.

    A task whose worker is lost is given to another; its bytes are still with the scheduler.
    """
    try:
        distributed: Any = import_module("distributed")
    except ImportError:
        raise NoClusterError("a scheduler needs the packages of sitegen[cluster]; install those") from None
    try:
        client = distributed.Client(address, timeout=WAIT, set_as_default=False)
    except (OSError, ValueError):
        raise NoClusterError(f"no scheduler answers at {address}; start one, or mend the address") from None
    with client, warnings.catch_warnings():
        # Dask would rather leave so many bytes with one worker beforehand; with that worker they could be lost.
        warnings.filterwarnings("ignore", message="Sending large graph", category=UserWarning)
        yield client.get_executor(pure=False)
