"""The current date at the store. Nothing in its files may be dated later: a sale dated tomorrow is an error."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from sitegen.commands.shared.clock import day_at_store, latest_day_anywhere
from sitegen.reading.validation.record_files import read_file
from sitegen.records.store import SiteSettings


def today_of_store(store: Path, moment: datetime) -> date:
    """Return the date in the store's time zone. If its settings cannot be read, return the latest date anywhere."""
    settings = read_file(SiteSettings, store / "site.yaml", "site.yaml").sound_part
    return latest_day_anywhere(moment) if settings is None else day_at_store(moment, settings.time_zone)
