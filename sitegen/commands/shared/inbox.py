"""Take in the store's inbox for a command, and print what came in and what was refused."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from sitegen.commands.shared.clock import day_at_store
from sitegen.commands.shared.terminal import Terminal
from sitegen.records.visits.arrivals import InboxEntry, InboxReport

INBOX = "inbox"
"""Folder of the inbox, unless `site.yaml` names another."""


def has_inbox(store: Path) -> bool:
    """Return whether a store may have files in its inbox. Cheap: no settings are validated."""
    try:
        if (store / INBOX).is_dir() and any(path.suffix.lower() == ".zip" for path in (store / INBOX).iterdir()):
            return True
        return b"inbox" in (store / "site.yaml").read_bytes()
    except OSError:
        return False


def place_of_inbox(store: Path) -> Path | None:
    """Return the folder of the inbox, which is made if it is missing. None if the settings cannot be read."""
    from sitegen.reading.validation.record_files import read_file
    from sitegen.records.store import SiteSettings

    settings = read_file(SiteSettings, store / "site.yaml", "site.yaml").record
    if settings is None:
        return None
    folder = store / settings.inbox.folder
    folder.mkdir(parents=True, exist_ok=True)
    return folder.resolve()


def take_in_arrivals(store: Path, moment: datetime, terminal: Terminal) -> InboxReport | None:
    """Take in the inbox of a store and print a line for each file.

    Return None if nobody looked into it, because the settings cannot be read. That is printed too.
    """
    if not has_inbox(store):
        return InboxReport()
    # Importing these takes longer than finding that nothing has arrived.
    from sitegen.intake.inbox.taking_in import take_in_inbox
    from sitegen.reading.validation.record_files import read_file
    from sitegen.records.store import SiteSettings

    settings = read_file(SiteSettings, store / "site.yaml", "site.yaml").record
    if settings is None:
        terminal.say_wrong(f"the inbox was not looked at: site.yaml has errors, which sitegen check {store} lists")
        return None

    def busy() -> None:
        terminal.say("Another command is taking in the inbox; waiting until it has ended")

    today = day_at_store(moment, settings.time_zone)
    report = take_in_inbox(store, settings.inbox, moment, today, busy=busy)
    for entry in report.taken:
        terminal.say(f"Taken in from the inbox: {entry.file} ({_whose(entry)})")
    for entry in report.refused:
        terminal.say_wrong(f"refused from the inbox: {entry.file}: {' '.join(entry.words)}")
    for entry in report.waiting:
        terminal.say(f"Left in the inbox: {entry.file}: {' '.join(entry.words)}")
    return report


def _whose(entry: InboxEntry) -> str:
    look = f"visit {entry.visit}" if entry.visit else "first inspection"
    return f"{entry.stock}, {look}: {', '.join(entry.changes)}"
