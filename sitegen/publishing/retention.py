"""Decide which files to retain after they are dropped from the site, so that pages open in a browser keep working.

An open page still requests its style sheet, scripts, fonts and list data. Their names contain a digest of their
content, so that versions do not collide. Pages and pictures are deleted at once, because they may be wrong or
withdrawn on purpose.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from sitegen.publishing.marker import Marker, Retained, digest_of

PUBLICATIONS = 3
RETENTION = timedelta(days=30)


def end_of_retention(marker: Marker | None) -> date:
    """Return the first day on which a retained file may be deleted, or `date.max` if there is none."""
    retained = marker.retained or {} if marker is not None else {}
    return min((state.since + RETENTION + timedelta(days=1) for state in retained.values()), default=date.max)


def retained_files(marker: Marker, dropped: Iterable[str], today: date) -> Mapping[str, Retained]:
    """Return the dropped files to retain: for at least three publications and at least 30 days.

    Maps each path to its state. `dropped` are the published paths that the new site lacks.
    """
    files = {}
    for path in sorted(dropped):
        digest = digest_of(path)
        if earlier := (marker.retained or {}).get(digest):
            # A future date comes from a clock that was set back since. Without this limit it might last for years.
            state = Retained(earlier.publications + 1, min(earlier.since, today))
        elif digest in marker.lasting:
            state = Retained(1, today)
        else:
            continue
        if state.publications <= PUBLICATIONS or today - state.since <= RETENTION:
            files[path] = state
    return files
