"""Verify the ledger and the files that its lines name, and describe each difference."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from hashlib import file_digest, sha256
from pathlib import Path

from sitegen.ledger.joining import Branch, branch_errors, branches_of
from sitegen.ledger.ledger_files import HEAD, LEDGER, RECORD, REVISIONS, SHOWN, head_of, line_error
from sitegen.ledger.lines import InvalidLineError, Line, check_chain, parse_line
from sitegen.ledger.withdrawing import shown_paths, withdrawn_digests

LedgerError = tuple[str, str]
"""A file by its path in the store (with a line number for the ledger), and a description of what is wrong."""


def ledger_errors(store: Path) -> Iterator[LedgerError]:
    """Yield each error in a store's ledger and revisions. Raises OSError if a file cannot be read."""
    content = (store / LEDGER).read_bytes() if (store / LEDGER).exists() else b""
    texts = content.split(b"\n")
    if texts.pop():
        yield f"{LEDGER}:{len(texts) + 1}", "the beginning of a line without its end; the next build takes it off"
    lines: list[Line] = []
    for number, text in enumerate(texts, start=1):
        try:
            lines.append(parse_line(text))
        except InvalidLineError as error:
            yield f"{LEDGER}:{number}", line_error(text, error)
    if len(lines) == len(texts):
        for number, (_, error_of_line) in enumerate(check_chain(lines), start=1):
            if error_of_line:
                yield f"{LEDGER}:{number}", error_of_line
    yield from _head_errors(store, lines)
    yield from branch_errors(store, lines)
    chains = [Branch(store / REVISIONS, tuple(lines)), *branches_of(store, lines)]
    for chain in chains:
        for line in chain.lines:
            yield from _revision_errors(store, chain, line)
    every_line = [line for chain in chains for line in chain.lines]
    withdrawn = withdrawn_digests(every_line)
    for digest in sorted({digest for line in every_line for digest in line.shown} - withdrawn.keys()):
        found_files = sorted((store / REVISIONS / SHOWN).glob(f"{digest}.*"))
        yield from _file_errors(store, found_files[0] if found_files else store / REVISIONS / SHOWN / digest, digest)
    for path in shown_paths(store, withdrawn):
        yield path.relative_to(store).as_posix(), f"line {withdrawn[path.stem].sequence} withdrew it, and it is here"
    yield from _unlisted_files(store, chains)


def _head_errors(store: Path, lines: Sequence[Line]) -> Iterator[LedgerError]:
    head, place = head_of(store), f"{REVISIONS}/{HEAD}"
    digests = [line.digest for line in lines]
    if head is None:
        if lines or (store / REVISIONS).exists():
            yield place, "it is missing, or cannot be read, so a cut-off end of the ledger cannot be detected"
    elif head not in digests:
        yield place, "it names a line that the ledger has not: the end was cut off, or a line was changed"
    elif head != digests[-1]:
        number = digests.index(head) + 1
        yield (
            place,
            f"it names line {number}, which is not the last; a build that was ended leaves that, the next mends it",
        )


def _revision_errors(store: Path, chain: Branch, line: Line) -> Iterator[LedgerError]:
    if line.record is None:
        return
    folder = chain.revision_folder(line)
    for name, digest in {RECORD: line.record, **line.pages}.items():
        yield from _file_errors(store, folder / name, digest)


def _file_errors(store: Path, path: Path, digest: str) -> Iterator[LedgerError]:
    place = path.relative_to(store).as_posix()
    if path.is_symlink() or not path.is_file():
        yield place, "it is missing"
        return
    if _digest(path) != digest:
        yield place, "it is not as it was when it was disclosed"


def _unlisted_files(store: Path, chains: Sequence[Branch]) -> Iterator[LedgerError]:
    """Yield every file in `revisions/` that no line names: lines may be missing, or somebody put the file there."""
    known = {
        chain.revision_folder(line) / name
        for chain in chains
        for line in chain.lines
        for name in (RECORD, *line.pages)
    }
    known |= {store / REVISIONS / HEAD, *(chain.folder / LEDGER for chain in chains[1:])}
    shown = {digest for chain in chains for line in chain.lines for digest in line.shown}
    for path in sorted((store / REVISIONS).rglob("*")):
        is_shown = path.parent == store / REVISIONS / SHOWN and path.stem in shown
        if (path.is_file() or path.is_symlink()) and path not in known and not is_shown:
            yield path.relative_to(store).as_posix(), "no line of the ledger names it"


def damaged_files(expected: Mapping[str, Path]) -> list[Path]:
    """Return the files whose bytes do not have the SHA-256 under which they are listed, or that are missing."""
    return [path for digest, path in expected.items() if not path.is_file() or _digest(path) != digest]


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return file_digest(file, sha256).hexdigest()
