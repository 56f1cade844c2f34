"""Which files stay for a while when the site has them no more, so that a page that is open in a tab does not break.

Such a page still asks for its style sheet, scripts and typeface, and for the rows of its list. Their names carry a
digest of what they hold, so they are in nobody's way. Pages and pictures go at once: what they show may be wrong, or
was taken away on purpose.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from sitegen.publishing.marker import Fallen, Marker, digest_of

PUBLICATIONS = 3
FOR = timedelta(days=30)


def staying(marker: Marker, gone: Iterable[str], today: date) -> Mapping[str, Fallen]:
    """Return the paths that stay, of those that the new site has no more: through three publications and 30 days."""
    stays = {}
    for path in sorted(gone):
        digest = digest_of(path)
        if earlier := (marker.fallen or {}).get(digest):
            # A day to come was told by a clock that has been set back since: its 30 days would last for years.
            fallen = Fallen(earlier.publications + 1, min(earlier.since, today))
        elif digest in marker.lasting:
            fallen = Fallen(1, today)
        else:
            continue
        if fallen.publications <= PUBLICATIONS or today - fallen.since <= FOR:
            stays[path] = fallen
    return stays
