"""Tamper with a ledger and its files at random, and record whether verification finds and names each change."""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from pathlib import Path

from sitegen.ledger.verifying import ledger_errors


def tamper(store: Path, count: int, seed: int) -> Iterator[tuple[str, bool]]:
    """Tamper with a store `count` times, restoring it each time. Yield the kind of change, and if it was named."""
    ledger, chance = store / "ledger.jsonl", random.Random(seed)
    kept = sorted(path for path in (store / "revisions").rglob("*") if path.is_file())
    whole = ledger.read_bytes()
    for _ in range(count):
        if chance.random() < 0.5:
            kind, other = _other_lines(whole, chance)
            ledger.write_bytes(other)
            named = [place for place, _ in ledger_errors(store)]
            ledger.write_bytes(whole)
            yield (
                kind,
                other != whole and any(place.startswith(("ledger.jsonl:", "revisions/head")) for place in named),
            )
        else:
            kind, harmed, named = _harmed(store, kept, chance)
            names = {path.relative_to(store).as_posix() for path in harmed}
            names = {name.removesuffix(Path(name).suffix) if "/shown/" in name else name for name in names}
            found = {place.rpartition(".")[0] if "/shown/" in place and "." in place else place for place in named}
            yield kind, names <= found


def _other_lines(content: bytes, chance: random.Random) -> tuple[str, bytes]:
    lines = content.splitlines(keepends=True)
    one, two = sorted(chance.sample(range(len(lines)), 2))
    changed_round = [*lines[:one], lines[two], *lines[one + 1 : two], lines[one], *lines[two + 1 :]]
    kinds = {
        "a bit of a line": _flipped(content, chance),
        "a line taken out": b"".join(lines[:one] + lines[one + 1 :]),
        "two lines changed round": b"".join(changed_round),
        "a line put in twice": b"".join([*lines[: two + 1], lines[one], *lines[two + 1 :]]),
        "lines cut off": b"".join(lines[:one]),
        "bytes cut off": content[: chance.randrange(len(content))],
    }
    kind = chance.choice(sorted(kinds))
    return kind, kinds[kind]


def _harmed(store: Path, kept: list[Path], chance: random.Random) -> tuple[str, list[Path], list[str]]:
    """Tamper with the store, verify it and restore it. Return the kind, the changed files, and the named places."""
    file = chance.choice(kept)
    other = chance.choice([path for path in kept if path.suffix == file.suffix] or kept)
    kind = chance.choice(
        ["a bit of a file", "a file taken away", "a file cut short", "a file for another", "a folder"]
    )
    if kind == "a folder":
        gone = file.parent if file.parent != store / "revisions" else file.parent / "shown"
        harmed = [path for path in kept if path.is_relative_to(gone)]
        gone.rename(store / "gone")
    else:
        harmed, whole = [file], file.read_bytes()
        if kind == "a file taken away" or other.read_bytes() == whole:
            file.unlink()
        elif kind == "a file for another":
            shutil.copyfile(other, file)
        else:
            file.write_bytes(_flipped(whole, chance) if "bit" in kind else whole[: chance.randrange(len(whole))])
    named = [place for place, _ in ledger_errors(store)]
    if kind == "a folder":
        (store / "gone").rename(gone)
    else:
        file.write_bytes(whole)
    return kind, harmed, named


def _flipped(content: bytes, chance: random.Random) -> bytes:
    """Return the content with one bit inverted."""
    at = chance.randrange(len(content))
    return content[:at] + bytes([content[at] ^ (1 << chance.randrange(8))]) + content[at + 1 :]
