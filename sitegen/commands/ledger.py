"""`sitegen ledger`: verify, time-stamp, show, hand over, join a branch, withdraw a photo."""

from __future__ import annotations

import argparse
import io
import json
import shutil
import zipfile
from collections.abc import Mapping
from hashlib import file_digest, sha256
from pathlib import Path
from zoneinfo import ZoneInfo

from sitegen.commands.shared.clock import UsageError, day_at_store, moment_of_build
from sitegen.commands.shared.composition import BuildRequest, compose
from sitegen.commands.shared.terminal import Terminal
from sitegen.disk import half_of
from sitegen.ledger.differences.removed_disclosures import removed_disclosures
from sitegen.ledger.handover import SUMS, digest_of, handover_files, sums
from sitegen.ledger.joining import JoinError, branch_after_fork, branches_of, join_branch
from sitegen.ledger.ledger_files import (
    LEDGER,
    RECORD,
    facts_in,
    facts_of,
    one_build_at_a_time,
    read_ledger,
    revision_folder,
)
from sitegen.ledger.lines import Line, latest_of_each
from sitegen.ledger.revisions import dated_before_the_last, day_of, in_force, lines_about, text_of_page
from sitegen.ledger.sealing import filled_in, last_of_vehicles, pages_of_vehicles, sealed, shown_files
from sitegen.ledger.time_stamps import Stamp, StampError, keep_answer, stamp_files, stamps_of, write_request
from sitegen.ledger.verifying import damaged_files, ledger_errors
from sitegen.ledger.withdrawing import WithdrawError, check_withdrawal, withdraw
from sitegen.reading.validation.record_files import read_record
from sitegen.records.store import SiteSettings, Store
from sitegen.shared_data import content_folder

A_DAY_OF_ZIP = (1980, 1, 1, 0, 0, 0)
"""The earliest time that a zip file can store. A fixed time makes the zip's bytes independent of the day."""


def ledger(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Run the subcommand on the store's ledger. Return its exit code."""
    acts = {"verify": _verify, "stamp": _stamp, "show": _show, "hand-over": _hand_over}
    acts |= {"join": _join, "withdraw": _withdraw}
    return acts[arguments.act](arguments, terminal)


def _verify(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Print each line, revision, photo, stamp and joined branch that changed since it was written, and how."""
    lines, _ = read_ledger(arguments.store)
    stamps = list(stamps_of(arguments.store, lines))
    faults = list(ledger_errors(arguments.store))
    faults += [(place, str(stamp)) for place, stamp in stamps if isinstance(stamp, StampError)]
    for place, words in faults:
        terminal.say_wrong(f"{place}: {words}")
    if faults:
        terminal.say_wrong(f"{len(faults)} of what the ledger tells is not as it was written")
        return 1
    if not lines:
        terminal.say("The ledger is empty: nothing has been published yet.")
        return 0
    terminal.say(f"All {len(lines)} lines, and all that they tell of, are as they were written.")
    terminal.say(f"Its last line is of {lines[-1].time}: {lines[-1].digest}")
    for _, stamp in stamps:
        terminal.say(_stamp_words(stamp) if isinstance(stamp, Stamp) else str(stamp))
    return 0


def _stamp(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write a request for a time stamp of the ledger's last line.

    With `--answer`, the authority's reply, verify that and store it beside the ledger instead. Raises UsageError if
    the ledger is empty or faulty, a file is missing, or the reply does not fit.
    """
    lines, problems = read_ledger(arguments.store)
    if problems:
        raise UsageError(problems[0].as_line())
    if not lines:
        raise UsageError("the ledger is empty: nothing has been published yet")
    try:
        if arguments.answer is None:
            request = write_request(arguments.store, lines[-1])
            terminal.say(
                f"{request} is the request for line {lines[-1].sequence}. Send it to an authority, for example:"
            )
            terminal.say(
                f"  curl -H 'Content-Type: application/timestamp-query' --data-binary @{request} ADDRESS > it.tsr"
            )
            terminal.say(f"then: sitegen ledger {arguments.store} stamp --answer it.tsr --roots authority.pem")
            return 0
        roots = arguments.roots.read_bytes() if arguments.roots else None
        stamp = keep_answer(arguments.store, lines, arguments.answer.read_bytes(), roots)
    except FileNotFoundError as error:
        raise UsageError(f"there is no file {error.filename}") from None
    except StampError as error:
        raise UsageError(f"{arguments.answer or 'the request'}: {error}") from None
    terminal.say(_stamp_words(stamp))
    return 0


def _stamp_words(stamp: Stamp) -> str:
    return f"Line {stamp.sequence} existed by {stamp.time:%Y-%m-%dT%H:%M:%SZ}: signed by {stamp.authority}."


def _show(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Print what was disclosed about a vehicle on a day: the revision, the page's text and the record.

    Raises UsageError if nothing was.
    """
    settings = _settings(arguments.store)
    about = _lines_about(arguments.store, arguments.stock)
    zone = ZoneInfo(settings.time_zone)
    lines, _ = read_ledger(arguments.store)
    on = arguments.on or day_at_store(moment_of_build(), settings.time_zone)
    line = in_force(about, on, zone)
    if line is None:
        first = day_of(about[0], zone)
        raise UsageError(f"nothing was disclosed of {arguments.stock} on {on}: it was first published on {first}")
    terminal.say(f"{line.stock}, revision {line.revision}, line {line.sequence} of the ledger, written {line.time}")
    terminal.say(f"What changed with it: {'; '.join(line.changed) or 'nothing that it tells of'}")
    same_day = [f"revision {one.revision}" for one in about if day_of(one, zone) == on and one is not line]
    if same_day:
        terminal.say(f"Earlier on that day: {', '.join(same_day)}")
    set_back = [f"revision {one.revision} ({one.time})" for one in dated_before_the_last(about)]
    if set_back:
        terminal.say(
            f"A clock was set back before {', '.join(set_back)}: what held on a day around it is not certain."
        )
    is_whole = _show_disclosure(arguments, terminal, revision_folder(arguments.store, line), line, settings)
    for branch in branches_of(arguments.store, lines):
        if (joined := in_force(lines_about(branch.lines, arguments.stock), on, zone)) is not None:
            terminal.say(f"\nA branch that was joined also disclosed, with line {joined.sequence} of {joined.time}:")
            folder = branch.revision_folder(joined)
            is_whole &= _show_disclosure(arguments, terminal, folder, joined, settings)
    return 0 if is_whole else 1


def _show_disclosure(
    arguments: argparse.Namespace, terminal: Terminal, folder: Path, line: Line, settings: SiteSettings
) -> bool:
    """Print the page's text and the record of one ledger line. Return whether both are as they were disclosed.

    For a line that withdrew the page, print that it was no longer published.
    """
    if line.record is None:
        terminal.say("It was no longer published on that day.")
        return True
    facts = facts_in(folder, line)
    if facts is None:
        terminal.say_wrong(f"what is kept of it is not as it was: sitegen ledger {arguments.store} verify says what")
        return False
    page = folder / _page_in(arguments.language, line, settings)
    terminal.say(f"\n{text_of_page(filled_in(page.read_bytes(), line).decode(errors='replace'))}")
    terminal.say(f"\nThe record, {RECORD}, with the SHA-256 {line.record}:")
    terminal.say(json.dumps(facts, ensure_ascii=False, indent=2, sort_keys=True))
    return True


def _join(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Join the branch of another copy of the store, and print what it disclosed that this one does not."""
    with one_build_at_a_time(arguments.store):
        lines = _whole_ledger(arguments.store)
        other_lines = _whole_ledger(arguments.other)
        try:
            branch = branch_after_fork(lines, other_lines)
        except JoinError as error:
            raise UsageError(f"{arguments.other}: {error}") from None
        line = join_branch(arguments.store, lines, arguments.other, branch, _utc_now())
    terminal.say(f"Line {line.sequence} joins {len(branch)} lines of {arguments.other}. No line was lost.")
    latest = latest_of_each(lines)
    for theirs in latest_of_each(branch).values():
        ours = latest.get(str(theirs.stock))
        old, new = facts_of(arguments.other, theirs), facts_of(arguments.store, ours) if ours else None
        for loss in removed_disclosures(old, new) if old and new else ():
            terminal.say(
                f"{theirs.stock}: the branch disclosed, and the last page here does not: {loss.about}, {loss.words}"
            )
    return 0


def _withdraw(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Remove photos or videos that were shown from everywhere, and add the line that says why."""
    digests = {Path(name).stem for name in arguments.files}
    with one_build_at_a_time(arguments.store):
        lines = _whole_ledger(arguments.store)
        try:
            check_withdrawal(lines, digests)
        except WithdrawError as error:
            raise UsageError(str(error)) from None
        line = withdraw(arguments.store, lines, digests, arguments.because, _utc_now())
    terminal.say(f"Line {line.sequence} withdraws {len(digests)}. They are gone from revisions/ and the cache.")
    terminal.say("The next sitegen build makes all pictures again. Still to do by hand: delete the original photo,")
    terminal.say("backups and version histories of the store, and copies that buyers were handed.")
    return 0


def _utc_now() -> str:
    return moment_of_build().strftime("%Y-%m-%dT%H:%M:%SZ")


def _whole_ledger(store: Path) -> tuple[Line, ...]:
    """Return the lines of a ledger. Raises UsageError if the ledger is empty or does not verify."""
    lines, _ = read_ledger(store)
    faults = list(ledger_errors(store))
    if faults:
        place, words = faults[0]
        raise UsageError(f"{store / place}: {words}; sitegen ledger {store} verify says all")
    if not lines:
        raise UsageError(f"{store} has no ledger yet: nothing has been published")
    return lines


def _hand_over(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write the buyer's copy into a new folder, or into a new zip if the name ends in `.zip`."""
    about = _lines_about(arguments.store, arguments.stock)
    target = arguments.to or Path(f"{arguments.stock}-hand-over.zip")
    if target.exists():
        raise UsageError(f"{target} is there already: name a new folder or zip with --to")
    composed = compose(BuildRequest(arguments.store), terminal)
    wrong = terminal.tell(composed.problems)
    if composed.site is None or composed.material is None or composed.store is None:
        return wrong
    line = about[-1]
    facts = composed.material.facts.get(arguments.stock)
    if facts is None or digest_of(facts) != line.record or line.stock != arguments.stock:
        raise UsageError(f"what the record of {arguments.stock} says now was not published: sitegen build it first")
    lines, _ = read_ledger(arguments.store)
    settings = composed.store.settings
    damaged = damaged_files(shown_files(composed.material, composed.store))
    if damaged:
        raise UsageError(f"{damaged[0]} is not the file that was disclosed; the next sitegen build makes it again")
    site = sealed(composed.site, {arguments.stock: line}, last_of_vehicles(lines))
    pages = pages_of_vehicles(site, {arguments.stock: facts}, settings)[arguments.stock]
    read_me = _read_me(composed.store, line)
    made, copied = handover_files(site, arguments.stock, pages, about, settings.base_address, read_me)
    if joined := [
        line for branch in branches_of(arguments.store, lines) for line in lines_about(branch.lines, arguments.stock)
    ]:
        made["joined-lines.jsonl"] = b"".join(line.text + b"\n" for line in joined)
    made |= stamp_files(arguments.store, lines, line)
    _write(target, made, copied)
    terminal.say(f"{target} is ready: {len(made) + len(copied) + 1} files; read-me.txt says how to check them")
    return 0


def _write(target: Path, made: Mapping[str, bytes], copied: Mapping[str, Path]) -> None:
    """Write the files and the list of their digests into a new zip or folder.

    If writing fails, leave nothing behind.
    """
    digests = {path: digest_of(content) for path, content in made.items()}
    for path, source in copied.items():
        with source.open("rb") as file:
            digests[path] = file_digest(file, sha256).hexdigest()
    everything = {**made, SUMS: sums(digests)}
    half = half_of(target)
    try:
        if target.suffix.lower() == ".zip":
            _write_zip(half, everything, copied)
        else:
            for path, content in everything.items():
                (half / path).parent.mkdir(parents=True, exist_ok=True)
                (half / path).write_bytes(content)
            for path, source in copied.items():
                (half / path).parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(source, half / path)
        half.rename(target)
    finally:
        shutil.rmtree(half, ignore_errors=True) if half.is_dir() else half.unlink(missing_ok=True)


def _write_zip(target: Path, made: Mapping[str, bytes], copied: Mapping[str, Path]) -> None:
    with zipfile.ZipFile(target, "w") as archive:
        for path in sorted({*made, *copied}):
            entry = zipfile.ZipInfo(path, A_DAY_OF_ZIP)
            entry.compress_type = zipfile.ZIP_DEFLATED if path in made else zipfile.ZIP_STORED
            source = io.BytesIO(made[path]) if path in made else copied[path].open("rb")
            with source, archive.open(entry, "w") as packed:
                shutil.copyfileobj(source, packed)


def _lines_about(store: Path, stock: str) -> tuple[Line, ...]:
    lines, faults = read_ledger(store)
    if faults:
        raise UsageError(faults[0].as_line())
    about = lines_about(lines, stock)
    if not about:
        known = ", ".join(sorted({line.stock for line in lines if line.stock})) or "none yet"
        raise UsageError(f"the ledger has no {stock}; it has {known}")
    return about


def _settings(folder: Path) -> SiteSettings:
    settings, _, problems = read_record(SiteSettings, folder / "site.yaml", "site.yaml")
    if settings is None:
        raise UsageError(f"the store's settings cannot be read: {problems[0].as_line()}")
    return settings


def _page_in(language: str | None, line: Line, settings: SiteSettings) -> str:
    """Return the path of a ledger line's page in a language. Without a language, use the store's first."""
    homes = [page for page in line.pages if page.endswith("/index.html")]
    folders = {page: page.split("/")[0] for page in homes}
    wanted = "vehicles" if language in (None, settings.first_language) else language
    found = next((page for page, folder in folders.items() if folder == wanted), None)
    if found is None:
        raise UsageError(f"it was not published in {language!r}")
    return found


def _read_me(store: Store, line: Line) -> str:
    """Return the text that explains the files to the buyer, in every language of the site."""
    home = f"vehicles/{line.stock}/index.html"
    told = {
        "store": store.settings.name, "stock": str(line.stock), "vin": str(line.vin), "time": line.time,
        "record": str(line.record), "line": line.digest, "home": home, "file": RECORD, "ledger": LEDGER,
    }  # fmt: skip
    texts = ((content_folder() / language / "texts" / "hand-over.txt") for language in store.settings.languages)
    return "\n\n".join(text.read_text("utf-8").format_map(told) for text in texts)
