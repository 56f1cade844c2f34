"""What day is it at the store? Nothing that its files tell may be dated later: a sale of tomorrow has not been."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from sitegen.commands.shared.clock import day_at_store, latest_day_anywhere
from sitegen.reading.validation.record_files import read_file
from sitegen.records.store import SiteSettings


def today_of_store(store: Path, moment: datetime) -> date:
    """Return the day in the time zone of a store's settings; where they cannot be read, the latest of anywhere."""
    settings = read_file(SiteSettings, store / "site.yaml", "site.yaml").sound_part
    return latest_day_anywhere(moment) if settings is None else day_at_store(moment, settings.time_zone)
