"""`sitegen build`: read, judge, make the pictures, compose, publish."""

from __future__ import annotations

import argparse

from sitegen.commands.shared.composition import Wish, compose
from sitegen.commands.shared.terminal import Terminal
from sitegen.publishing.address_memory import addresses_published, remember_addresses
from sitegen.publishing.publication import publish
from sitegen.records.problems import Problem


def build(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Publish the store's site; where anything is wrong in its files, publish nothing and say all of it."""
    wish = Wish(arguments.store, arguments.jobs, arguments.scheduler)
    to = arguments.to or arguments.store / "published"
    composed = compose(wish, terminal, addresses_published(wish.folder, to))
    wrong = terminal.tell(composed.problems)
    if composed.site is None:
        return wrong
    published = publish(composed.site, to)
    if isinstance(published, Problem):
        return terminal.tell([published])
    remember_addresses(wish.folder, composed.site.paths())
    counts = f"{published.changed} new or changed, {published.unchanged} as before, {published.removed} removed"
    terminal.say(f"Published {composed.vehicles} vehicles; files: {counts}")
    terminal.say(f"Open {published.folder / 'index.html'}")
    return wrong
