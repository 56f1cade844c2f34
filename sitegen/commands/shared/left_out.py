"""Vehicles with an error in their files, which `build --leave-out-faulty` leaves out.

A mistyped figure must not remove a vehicle from the site. Its last published pages, the files they need and their
entries in the sitemap stay. No list shows the vehicle until the error is corrected.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from dataclasses import replace
from datetime import date
from pathlib import Path

from sitegen.pages.frame.addresses import SITEMAP_FILE, Address
from sitegen.publishing.marker import is_published, published_paths
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import Store

_IN_SITEMAP = re.compile(r"<loc>([^<]+)</loc>\s*(?:<lastmod>(\d{4}-\d{2}-\d{2})</lastmod>)?")
_OF_VEHICLE = re.compile(r"vehicles/([^/]+)/")


def faulty_vehicles(problems: Iterable[Problem]) -> set[str] | None:
    """Return the folder names of the vehicles with errors, or None if an error lies outside of all vehicles."""
    places = [_OF_VEHICLE.match(problem.file) for problem in problems if problem.severity is Severity.ERROR]
    named = {place[1] for place in places if place}
    return named if all(places) else None


def without(store: Store, stocks: Collection[str]) -> Store:
    """Return the store without the vehicles that have these stock numbers."""
    return replace(store, vehicles=tuple(one for one in store.vehicles if one.record.stock not in stocks))


def is_of(path: str, stocks: Collection[str]) -> bool:
    """Return whether a file of the site is a page, a sheet or the data of one of these vehicles."""
    place = re.search(r"(?:^|/)vehicles/([^/]+)/", path)
    return place is not None and place[1] in stocks


def last_good_files(published: Path, stocks: Collection[str]) -> dict[str, Path]:
    """Return the last published files of these vehicles, and all files that those refer to, by path in the site.

    Empty for no vehicles.
    """
    if not stocks:
        return {}
    paths = published_paths(published)
    own = {path for path in paths if is_of(path, stocks)}
    said = b"".join((published / path).read_bytes() for path in own if path.endswith(".html"))
    named = {name.decode() for name in re.findall(rb"[\w-]+(?:\.\w+)*", said)}
    # pictures/<name>, videos/<name>; and all of assets/<folder>/, since the style sheet refers to more files.
    needed = {path for path in paths if path.split("/")[1:2] and path.split("/")[1] in named}
    return {path: published / path for path in own | {path for path in needed if not path.endswith(".html")}}


def published_sitemap(published: Path) -> str:
    """Return the text of the sitemap in a published folder, or an empty string if there is none."""
    file = published / SITEMAP_FILE
    return file.read_text("utf-8", "replace") if is_published(published, SITEMAP_FILE) else ""


def still_listed(
    pages: Iterable[str], stocks: Collection[str], sitemap: str, base_address: str
) -> dict[str, date | None]:
    """Return the pages of these vehicles that the last sitemap listed, so that search engines keep them.

    Each has the day of its last change, or None if the sitemap did not say it.
    """
    days: dict[str, str] = dict(_IN_SITEMAP.findall(sitemap))
    own = {page: Address(page).canonical(base_address) for page in pages if is_of(page, stocks)}
    return {
        page: date.fromisoformat(days[address]) if days[address] else None
        for page, address in own.items()
        if address in days
    }
