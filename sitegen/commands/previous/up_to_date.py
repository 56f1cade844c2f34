"""Return the previous result of a command if none of its inputs has changed.

The result is valid while all of this holds: the arguments, the program and its libraries are the same; every file of
the store has the status that it had before it was read; every output file has the status that it was left with; and
the time at which a page or a warning must change has not come. Only results without an error are stored. A damaged
entry counts as missing. What this module imports must load fast.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

from sitegen.commands.previous.store_status import StoreStatus, walk
from sitegen.commands.shared.desk import DESK, PUBLISHED
from sitegen.commands.shared.inbox import INBOX
from sitegen.disk import make_cache_folder, make_room_for_file, read_regular_file, write_whole
from sitegen.engine.file_states import clock_of_disk
from sitegen.records.problems import Problem, Severity
from sitegen.shared_data import content_folder, themes_folder

FOLDER = "previous"
PROGRAM = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Outcome:
    """The result of a command that ended without an error."""

    problems: tuple[Problem, ...]
    """The warnings."""
    vehicles: int
    files: int = 0
    """The number of files on the site."""
    digests: Mapping[str, str] = field(default_factory=dict)
    """The digest of each published page, by path. It is stored, but `recall` does not return it."""


class PreviousResult:
    """The stored result of one command on one store. Create it before anything is read."""

    def __init__(
        self,
        store: Path,
        command: str,
        moment: datetime,
        warn: Callable[[str], None],
        made: Sequence[Path] = (),
    ) -> None:
        """`made` are the files and folders that the command itself writes, and that must be unchanged since."""
        self._note, self._warn = store / ".cache" / FOLDER / f"{command}.json", warn
        self._digests_file = self._note.with_suffix(".digests")
        self._moment, self._made = moment, [place.absolute() for place in made]
        self._asked = [str(place) for place in (store.absolute(), *self._made)]
        self._before = self._walk_of_store(store)

    def recall(self) -> Outcome | None:
        """Return the stored result, or None if an input has changed."""
        with suppress(OSError, ValueError, KeyError, TypeError):
            entry = _unsealed(read_regular_file(self._note))
            if (
                self._before is not None
                and entry["asked"] == self._asked
                and datetime.fromisoformat(entry["at"]) <= self._moment < datetime.fromisoformat(entry["until"])
                and StoreStatus(**entry["store"]).still_holds(self._before)
                and StoreStatus(**entry["made"]).still_holds(walk(self._made))
            ):
                problems = (Problem(**{**one, "severity": Severity(one["severity"])}) for one in entry["problems"])
                return Outcome(tuple(problems), entry["vehicles"], entry["files"])
        return None

    def untouched(self) -> Mapping[str, str]:
        """Return the digests of the published pages. Empty if any output file has changed."""
        with suppress(OSError, ValueError, KeyError, TypeError):
            entry = _unsealed(read_regular_file(self._note))
            if entry["asked"] == self._asked and StoreStatus(**entry["made"]).still_holds(walk(self._made)):
                written = read_regular_file(self._digests_file)
                if sha256(written).hexdigest() == entry["digests"]:
                    digests: dict[str, str] = json.loads(written)
                    return digests
        return {}

    def keep(self, outcome: Outcome, until: datetime) -> None:
        """Store the result, and the time until which it is valid."""
        with suppress(OSError):
            if self._before is None:
                return
            # A publication adds a hard link to each unchanged file, which changes its status.
            made = walk(self._made, clock_of_disk(self._note.parent), named_anew=True)
            digests = json.dumps(dict(outcome.digests)).encode()
            write_whole(self._digests_file, digests)
            entry = {
                "digests": sha256(digests).hexdigest(),
                "asked": self._asked,
                "at": self._moment.isoformat(),
                "until": until.isoformat(),
                "store": asdict(self._before),
                "made": asdict(made),
                "problems": [problem.as_mapping() for problem in outcome.problems],
                "vehicles": outcome.vehicles,
                "files": outcome.files,
            }
            write_whole(self._note, _sealed(entry))

    def _walk_of_store(self, store: Path) -> StoreStatus | None:
        """Return the status of the store's files and of the program's, or None if it cannot be read."""
        if not (store / "site.yaml").is_file():  # any other folder may be very large
            return None
        try:
            for folder in (self._note.parent.parent, self._note.parent):
                make_cache_folder(folder, self._warn)
            for file in (self._note, self._digests_file):
                make_room_for_file(file, self._warn)
            there = (entry for entry in store.absolute().iterdir() if _may_be_read(entry))
            read = sorted(entry for entry in there if entry not in self._made)
            return walk((*read, *_program()), clock_of_disk(self._note.parent), passed_over={"__pycache__"})
        except OSError:
            return None


def _may_be_read(entry: Path) -> bool:
    """Return whether the program may read an entry of a store's folder. That includes unknown names."""
    return not entry.name.startswith(".") and entry.name not in (PUBLISHED, DESK, INBOX)


def _program() -> Iterator[Path]:
    """Yield the files that decide besides the store: code, messages, figures, themes and installed libraries."""
    yield from (PROGRAM, content_folder(), themes_folder())
    yield from sorted({info for place in sys.path if place for info in Path(place).glob("*.dist-info/METADATA")})
    yield Path(sys.executable)


def _sealed(entry: dict[str, Any]) -> bytes:
    text = json.dumps(entry).encode()
    return sha256(text).hexdigest().encode() + text


def _unsealed(written: bytes) -> dict[str, Any]:
    """Return the content of an entry. Raises ValueError if its digest does not match."""
    if sha256(written[64:]).hexdigest().encode() != written[:64]:
        raise ValueError("a damaged note")
    entry: dict[str, Any] = json.loads(written[64:])
    return entry
