"""Vehicles with an error in their files, left out of a build that was told to go on without them.

Nobody should find a vehicle gone because somebody mistyped a figure. So what was last published of it stays where it
is: its pages, what they show and need, and their places in the sitemap. It is on no list until it is mended.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from dataclasses import replace
from pathlib import Path

from sitegen.pages.frame.addresses import SITEMAP_FILE, Address
from sitegen.publishing.marker import is_published, published_paths
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import Store

_OF_VEHICLE = re.compile(r"vehicles/([^/]+)/")


def faulty_vehicles(problems: Iterable[Problem]) -> set[str] | None:
    """Return the vehicles in whose files the errors are, by folder; None if there is one that is in no vehicle's."""
    places = [_OF_VEHICLE.match(problem.file) for problem in problems if problem.severity is Severity.ERROR]
    named = {place[1] for place in places if place}
    return named if all(places) else None


def without(store: Store, stocks: Collection[str]) -> Store:
    """Return the store without some vehicles."""
    return replace(store, vehicles=tuple(one for one in store.vehicles if one.record.stock not in stocks))


def is_of(path: str, stocks: Collection[str]) -> bool:
    """Tell whether a file of the site is a page, a sheet or the data of one of these vehicles."""
    place = re.search(r"(?:^|/)vehicles/([^/]+)/", path)
    return place is not None and place[1] in stocks


def last_good_files(published: Path, stocks: Collection[str]) -> dict[str, Path]:
    """Return what was last published of these vehicles, and all that it names, by path in the site."""
    if not stocks:
        return {}
    paths = published_paths(published)
    own = {path for path in paths if is_of(path, stocks)}
    said = b"".join((published / path).read_bytes() for path in own if path.endswith(".html"))
    named = {name.decode() for name in re.findall(rb"[\w-]+(?:\.\w+)*", said)}
    # pictures/<name>, videos/<name>; and all of assets/<folder>/, whose style sheet names what the page does not.
    needed = {path for path in paths if path.split("/")[1:2] and path.split("/")[1] in named}
    return {path: published / path for path in own | {path for path in needed if not path.endswith(".html")}}


def published_sitemap(published: Path) -> str:
    """Return the sitemap that stands in a published folder, as it is written there; nothing where there is none."""
    file = published / SITEMAP_FILE
    return file.read_text("utf-8", "replace") if is_published(published, SITEMAP_FILE) else ""


def still_listed(pages: Iterable[str], stocks: Collection[str], sitemap: str, base_address: str) -> set[str]:
    """Return those pages of some vehicles that the last sitemap listed: a search engine is not to forget them."""
    own = {page for page in pages if is_of(page, stocks)}
    return {page for page in own if f"<loc>{Address(page).canonical(base_address)}</loc>" in sitemap}
