"""`sitegen build`: read, judge, make the pictures, compose, write down what is disclosed, publish."""

from __future__ import annotations

import argparse
import json
from collections.abc import Collection
from pathlib import Path

from sitegen.commands.shared.clock import UsageError, moment_of_build
from sitegen.commands.shared.composition import Composed, Wish, compose
from sitegen.commands.shared.desk import PUBLISHED
from sitegen.commands.shared.left_out import last_good_files, published_sitemap
from sitegen.commands.shared.terminal import Terminal
from sitegen.disk import write_whole
from sitegen.ledger.keeping import add, facts_of, note_head, one_build_at_a_time
from sitegen.ledger.planning import Kept, lines_of, lines_to_add
from sitegen.ledger.sealing import PAGE, disclosures_of, last_of_vehicles, sealed, shown_files
from sitegen.publishing.marker import published_pages
from sitegen.publishing.publication import Published, publish
from sitegen.publishing.target import why_not
from sitegen.records.problems import Problem


def build(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Publish the store's site; where anything is wrong in its files, publish nothing and say all of it."""
    if arguments.report is not None and not arguments.report.parent.is_dir():
        raise UsageError(f"there is no folder {arguments.report.parent} for the report")
    wish = Wish(arguments.store, arguments.jobs, arguments.scheduler, arguments.leave_out_faulty)
    own = arguments.store / PUBLISHED
    to = arguments.to or own
    if problem := why_not(to, arguments.store, own):
        return terminal.tell([problem])

    def busy() -> None:
        terminal.say("Another build of this store is at work; waiting until it is done")

    with one_build_at_a_time(wish.folder, busy):
        composed = compose(wish, terminal, published_pages(to), published_sitemap(to))
        wrong = terminal.tell(composed.problems)
        if composed.site is None:
            return wrong
        published = _publish(composed, wish.folder, to)
    if isinstance(published, Problem):
        return terminal.tell([published])
    if arguments.report is not None:
        _report(published, composed.left_out, arguments.report)
    changed, removed = len(published.changed), len(published.removed)
    counts = f"{changed} new or changed, {published.unchanged} as before, {removed} removed"
    terminal.say(f"Published {composed.vehicles} vehicles; files: {counts}")
    if composed.left_out:
        terminal.say(
            f"Left out until mended, with what was last published of them: {', '.join(sorted(composed.left_out))}"
        )
    terminal.say(f"Open {published.folder / 'index.html'}")
    return wrong


def _report(published: Published, left_out: Collection[str], file: Path) -> None:
    """Write what is to be sent to a host, and what to be taken away there and out of caches; whole or not at all."""
    told = {
        "folder": str(published.folder),
        "changed": list(published.changed),
        "removed": list(published.removed),
        "left_out": sorted(left_out),
    }
    write_whole(file, f"{json.dumps(told, ensure_ascii=False, indent=1)}\n".encode())


def _publish(composed: Composed, store: Path, to: Path) -> Published | Problem:
    """Publish what was composed, and have the ledger tell of it before it can be seen."""
    site, material, read = composed.site, composed.material, composed.store
    assert site is not None
    assert material is not None
    assert read is not None
    disclosures = disclosures_of(site, material, read.settings)
    others = {path for path in site.pages if path.endswith(PAGE)} - {
        page for one in disclosures for page in one.pages
    }
    moment = moment_of_build()
    time = moment.strftime("%Y-%m-%dT%H:%M:%SZ")
    lines = composed.lines
    added = lines_to_add(
        Kept(lines, lambda line: facts_of(store, line), composed.left_out), disclosures, others, time
    )
    all_lines = (*lines, *added)
    whole = sealed(site, lines_of(disclosures, all_lines), last_of_vehicles(all_lines))

    def write_down() -> None:
        add(store, added, material.facts, site.pages, shown_files(material, read))
        if all_lines:
            note_head(store, all_lines[-1])

    return publish(whole.besides(last_good_files(to, composed.left_out)), to, moment.date(), write_down)
