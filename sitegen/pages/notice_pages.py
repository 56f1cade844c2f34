"""Build notice pages at addresses that were published before, so that no link that was sent ends in a 404.

The notice of a renamed vehicle redirects to its new address. The notice of a removed vehicle says that it is gone.
The notice of a list page that is no longer needed redirects to the first page of the list.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from sitegen.pages.frame.addresses import INDEX, Address, inventory_page, vehicle_page
from sitegen.pages.frame.frame import Link, Surroundings
from sitegen.pages.frame.page import Page, page_of
from sitegen.pages.vehicle.identity import identity
from sitegen.records.vehicle import Status

HTML = ".html"


@dataclass(frozen=True)
class Notice:
    """The content of a short page that replaces another."""

    heading: str
    words: str
    link: Link
    forward: str | None = None
    """The link to redirect to at once, or None."""


def notice_pages(
    earlier: Collection[str], present: Collection[str], renamed: Mapping[str, str], spoken: Sequence[Surroundings]
) -> Iterator[Page]:
    """Yield a notice for each page of `earlier` builds that the site no longer has, and for each former stock number.

    `renamed` maps former stock numbers to present ones. `spoken` holds the surroundings of each language, the store's
    first language first.
    """
    former = {**renamed, **_former_stocks(spoken[0])}
    wanted = {vehicle_page(stock, around.language_folder).file for stock in former for around in spoken}
    for file in sorted({*earlier, *wanted} - set(present)):
        if file.endswith(HTML):
            around = _surroundings_of(file, spoken)
            at = Address(file)
            yield _page(_notice(at, present, former, around), at, around)


def coming_soon_pages(around: Surroundings) -> Iterator[Page]:
    """Yield a notice for every vehicle in preparation, if the store's settings show these."""
    translator = around.translator
    for vehicle in around.store.vehicles:
        record = vehicle.record
        if record.status is Status.PREPARING and around.settings.show_preparing:
            at, head = vehicle_page(record.stock, around.language_folder), identity(record, translator)
            words = translator.say("coming.words", kind=head.kind)
            notice = Notice(
                f"{head.name}: {translator.choice('status', Status.PREPARING).lower()}", words, _home(at, around)
            )
            yield _page(notice, at, around, is_coming=True)


def _former_stocks(around: Surroundings) -> dict[str, str]:
    """Return the present stock number of each former stock number that a record names."""
    records = [vehicle.record for vehicle in around.store.vehicles]
    return {former: record.stock for record in records for former in record.formerly}


def _surroundings_of(file: str, spoken: Sequence[Surroundings]) -> Surroundings:
    first, *others = spoken
    return next((around for around in others if file.startswith(f"{around.language_folder}/")), first)


def _notice(at: Address, present: Collection[str], former: dict[str, str], around: Surroundings) -> Notice:
    translator = around.translator
    parts = posixpath.relpath(at.file, around.language_folder or ".").split("/")
    if parts[0] == "vehicles" and len(parts) > 2:
        stock, rest = parts[1], "/".join(parts[2:])
        if stock in former:
            same = posixpath.join(around.language_folder, "vehicles", former[stock], rest)
            to = same if same in present else vehicle_page(former[stock], around.language_folder).file
            if to in present:
                return _forward(translator.say("moved.vehicle", stock=former[stock]), at, to, around)
        return Notice(
            translator.say("gone.vehicle"), translator.say("gone.vehicle_words", stock=stock), _home(at, around)
        )
    if re.fullmatch(r"page-\d+", parts[-2] if len(parts) > 1 else ""):
        beginning = posixpath.normpath(posixpath.join(posixpath.dirname(at.file), "..", INDEX))
        if beginning in present:
            return _forward(translator.say("moved.list"), at, beginning, around)
    if parts[0] == "browse":
        return Notice(translator.say("gone.list"), translator.say("gone.list_words"), _home(at, around))
    return Notice(translator.say("gone.page"), translator.say("gone.page_words"), _home(at, around))


def _forward(words: str, at: Address, to: str, around: Surroundings) -> Notice:
    href = at.to(to)
    return Notice(
        around.translator.say("moved.heading"), words, Link(around.translator.say("moved.follow"), href), href
    )


def _home(at: Address, around: Surroundings) -> Link:
    return Link(around.translator.say("not_found.back"), at.to(inventory_page(around.language_folder).file))


def _page(
    notice: Notice,
    at: Address,
    around: Surroundings,
    is_coming: bool = False,
) -> Page:
    """Return the page of a notice. Search engines may list a vehicle in preparation, but not a notice of removal."""
    address = at.file.removesuffix(INDEX).rstrip("/")
    title = around.translator.say("notice.title", heading=notice.heading, address=address)
    target = Address(_resolve(at, notice.forward)) if notice.forward else None
    frame = around.frame(
        at,
        title,
        notice.words,
        kept_from_search=not is_coming and not target,
        canonical=target,
        in_each_language=False,
    )
    return page_of(around, frame, at, "pages/notice.html", {"notice": notice}, listed=is_coming)


def _resolve(at: Address, link: str) -> str:
    """Return the file that a relative link on a page leads to."""
    return posixpath.normpath(posixpath.join(posixpath.dirname(at.file), link))
