"""`sitegen help`: print the names, keys and settings that a store's files may use."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from sitegen.commands.entry import TOPICS
from sitegen.commands.shared.terminal import Terminal
from sitegen.commands.topics import documents, names

_TEXTS: dict[str, Callable[[], str]] = {
    "kinds": lambda: names.defect_kinds().as_text(),
    "services": lambda: names.services().as_text(),
    "checks": lambda: names.check_points().as_text(),
    "settings": documents.settings,
    "theme": documents.theme,
    "hosting": documents.hosting,
    "record": documents.record_reference,
}


def help(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Print one topic, or the list of topics."""
    if arguments.topic is None:
        width = max(map(len, TOPICS))
        terminal.say("\n".join(f"sitegen help {topic.ljust(width)}  {about}" for topic, about in TOPICS.items()))
        terminal.say("sitegen --help lists the commands; sitegen COMMAND --help lists the options of a command.")
    else:
        terminal.say(_TEXTS[arguments.topic]())
    return 0
