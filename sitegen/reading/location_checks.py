"""Whether each vehicle stands at a location that the store's settings name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sitegen.reading.nearest import did_you_mean, listed
from sitegen.reading.sheets import Sheet
from sitegen.records.problems import Problem
from sitegen.records.store import SiteSettings


def check_locations(settings: SiteSettings, sheets: Iterable[Sheet]) -> Iterator[Problem]:
    """Yield locations that the settings do not name. A store with one place only may write there what it likes."""
    names = [location.name for location in settings.locations]
    for sheet in sheets if names else ():
        if sheet.record.location is not None and sheet.record.location not in names:
            mend = did_you_mean(sheet.record.location, names, "add it to locations in site.yaml")
            yield sheet.marks.problem(("location",), f"a location of site.yaml ({listed(names)})", mend)
