"""`sitegen build`: take in the inbox, publish the store's site, and count its changes.

If no input has changed, return the previous result.
"""

from __future__ import annotations

import argparse
from collections.abc import Collection, Mapping
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from sitegen.commands.previous.up_to_date import Outcome, PreviousResult
from sitegen.commands.shared.clock import UsageError, beginning_of, moment_of_build
from sitegen.commands.shared.desk import PUBLISHED
from sitegen.commands.shared.inbox import take_in_arrivals
from sitegen.commands.shared.terminal import Terminal
from sitegen.disk import make_cache_folder
from sitegen.ledger.ledger_files import LEDGER, REVISIONS, one_build_at_a_time
from sitegen.publishing.report import report_refusal, write_report
from sitegen.publishing.target import refusal_reason
from sitegen.records.problems import Problem


def build(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Publish the store's site. If a file of the store has an error, print every problem and publish nothing.

    Raises UsageError for wrong arguments.
    """
    store, own = arguments.store, arguments.store / PUBLISHED
    to = arguments.to or own
    if arguments.report is not None:
        if why := report_refusal(arguments.report, (to, own)):
            raise UsageError(why)
        arguments.report.unlink(missing_ok=True)
    if problem := refusal_reason(to, store, own):
        return terminal.tell([problem])

    def busy() -> None:
        terminal.say("Another build of this store is running; waiting until it has ended")

    if store.is_dir():
        make_cache_folder(store / ".cache", terminal.say_wrong)
    with one_build_at_a_time(store, busy):
        moment = moment_of_build()
        take_in_arrivals(store, moment, terminal)
        before = PreviousResult(store, "build", moment, terminal.say_wrong, (store / LEDGER, store / REVISIONS, to))
        outcome = before.recall()
        if outcome is None:
            return _build_anew(arguments, terminal, to, moment, before)
        terminal.tell(outcome.problems)
        if arguments.report is not None:
            write_report(to.resolve(), (), (), (), arguments.report)
        _say(outcome, (), (), {}, to.resolve(), terminal)
        return 0


def _build_anew(
    arguments: argparse.Namespace, terminal: Terminal, to: Path, moment: datetime, before: PreviousResult
) -> int:
    # Importing these takes longer than finding that nothing has changed.
    from sitegen.commands.shared.building import build_anew
    from sitegen.commands.shared.composition import BuildRequest
    from sitegen.publishing.marker import read_marker
    from sitegen.publishing.retention import end_of_retention

    request = BuildRequest(arguments.store, arguments.jobs, arguments.scheduler, arguments.leave_out_faulty, moment)
    built = build_anew(request, terminal, to, before.untouched())
    composed, published = built.composed, built.published
    wrong = terminal.tell(composed.problems)
    if published is None:
        return wrong
    if isinstance(published, Problem):
        return terminal.tell([published])
    changed, removed = published.changed, published.removed
    left_out = {stock: stock in built.staying for stock in sorted(composed.left_out)}
    if arguments.report is not None:
        write_report(published.folder, changed, removed, left_out, arguments.report)
    lasting = tuple(problem for problem in composed.problems if problem not in composed.differences)
    outcome = Outcome(lasting, composed.vehicles, len(changed) + published.unchanged, built.digests)
    _say(outcome, changed, removed, left_out, published.folder, terminal)
    if not wrong and composed.store is not None:
        at_store = beginning_of(composed.until, ZoneInfo(composed.store.settings.time_zone))
        before.keep(outcome, min(at_store, beginning_of(end_of_retention(read_marker(to)), UTC)))
    return wrong


def _say(
    outcome: Outcome,
    changed: Collection[str],
    removed: Collection[str],
    left_out: Mapping[str, bool],
    folder: Path,
    terminal: Terminal,
) -> None:
    counts = f"{len(changed)} new or changed, {outcome.files - len(changed)} as before, {len(removed)} removed"
    terminal.say(f"Published {outcome.vehicles} vehicles; files: {counts}")
    staying = [stock for stock, stays in left_out.items() if stays]
    missing = [stock for stock, stays in left_out.items() if not stays]
    if staying:
        terminal.say(f"On no list until corrected; their last published pages stay: {', '.join(staying)}")
    if missing:
        terminal.say(f"Not published until corrected: {', '.join(missing)}")
    terminal.say(f"Open {folder / 'index.html'}")
