"""Withdraw a photo or video with private data: remove it from everywhere, and say so in the ledger.

The earlier lines stay as they are: they name the digest of the file and not its content. One new line names the
digest and the reason, so that the ledger still verifies.
"""

from __future__ import annotations

import shutil
from collections.abc import Collection, Iterator, Sequence
from pathlib import Path

from sitegen.ledger.ledger_files import REVISIONS, SHOWN, add
from sitegen.ledger.lines import Line, latest_of_each

CACHE = ".cache"


class WithdrawError(Exception):
    """A file cannot be withdrawn. The message says why in plain words."""


def withdrawn_digests(lines: Sequence[Line]) -> dict[str, Line]:
    """Return the ledger line that withdrew each photo or video, by the SHA-256 of its file."""
    return {digest: line for line in lines for digest in line.withdrawn}


def check_withdrawal(lines: Sequence[Line], digests: Collection[str]) -> None:
    """Raise WithdrawError if a digest was never shown, or is shown now, or was withdrawn before."""
    shown = {digest for line in lines for digest in line.shown}
    shown_now = {digest: line.stock for line in latest_of_each(lines).values() for digest in line.shown}
    for digest in digests:
        if digest not in shown:
            raise WithdrawError(f"no line of the ledger shows {digest}: {REVISIONS}/{SHOWN} has what was shown")
        if digest in shown_now:
            raise WithdrawError(
                f"{shown_now[digest]} still shows {digest}: cover the photo or take it out of its record, "
                "run sitegen build, then withdraw it"
            )
        if digest in withdrawn_digests(lines):
            raise WithdrawError(f"{digest} is withdrawn already")


def withdraw(store: Path, lines: Sequence[Line], digests: Collection[str], because: str, time: str) -> Line:
    """Append the line that withdraws the files, then remove them and every picture made from them.

    `time` is in UTC, in RFC 3339 form. All derived pictures are removed from the cache, because only making them
    again ensures that none of the withdrawn file is left. Return the new line. Raises OSError.
    """
    last = lines[-1]
    reasons = dict.fromkeys(sorted(digests), because)
    words = f"withdrew {len(reasons)} {'file' if len(reasons) == 1 else 'files'}: {because}"
    line = Line(
        last.sequence + 1, time, None, None, None, None, None, {}, (), (), (words,), last.digest, withdrawn=reasons
    )  # fmt: skip
    add(store, [line], {}, {}, {})
    for path in shown_paths(store, digests):
        path.unlink()
    for path in (store / CACHE).iterdir() if (store / CACHE).is_dir() else ():
        shutil.rmtree(path) if path.is_dir() and not path.is_symlink() else path.unlink()
    return line


def shown_paths(store: Path, digests: Collection[str]) -> Iterator[Path]:
    """Yield the files in `revisions/shown` with these digests."""
    for path in sorted((store / REVISIONS / SHOWN).glob("*")):
        if path.stem in digests:
            yield path
