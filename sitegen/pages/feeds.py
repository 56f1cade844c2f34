"""Build the files for feed readers and search engines: the Atom feed, the sitemap and robots.txt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from hashlib import sha256
from xml.etree import ElementTree
from zoneinfo import ZoneInfo

from sitegen.pages.frame.addresses import (
    SITEMAP_FILE,
    Address,
    feed_file,
    inventory_page,
    language_folder,
    same_page,
)
from sitegen.records.store import SiteSettings

ATOM = "http://www.w3.org/2005/Atom"
SITEMAP = "http://www.sitemaps.org/schemas/sitemap/0.9"
XHTML = "http://www.w3.org/1999/xhtml"


@dataclass(frozen=True)
class News:
    """One feed entry: a vehicle arrived, or its page changed."""

    at: Address
    id_at: Address
    """The page's first address, which names it for good: a vehicle with a new stock number is no new vehicle."""
    key: str
    """Unique among the entries of one page. It follows from what the entry says, so it is never used again."""
    on: date
    title: str
    summary: str


def key_of(on: date, words: str) -> str:
    """Return the key of an entry: its day, and the beginning of the digest of its words in the first language."""
    return f"{on.isoformat()}-{sha256(words.encode()).hexdigest()[:12]}"


def keys_in_order(keys: Sequence[str]) -> list[str]:
    """Return keys that a growing list gives, each unique: the second of the same key ends in -2."""
    return [
        key if not (before := keys[:place].count(key)) else f"{key}-{before + 1}" for place, key in enumerate(keys)
    ]


def atom_feed(
    news: Sequence[News], settings: SiteSettings, language: str, title: str, subtitle: str, started: date
) -> bytes:
    """Return the Atom feed of one language, latest entry first. Source: RFC 4287.

    An entry's permanent id is its vehicle's first address and its key. A feed without entries is as old as the site,
    which `started` on that day.
    """
    feed = ElementTree.Element("feed", {"xmlns": ATOM, "xml:lang": language})
    folder = language_folder(language, settings)
    base = inventory_page(folder).canonical(settings.base_address)
    own = Address(feed_file(folder)).canonical(settings.base_address)
    latest = sorted(news, key=lambda item: (item.on, item.at.file, item.key), reverse=True)
    _add(feed, "id", base)
    _add(feed, "title", title)
    _add(feed, "subtitle", subtitle)
    _add(feed, "updated", _moment(latest[0].on if latest else started, settings))
    ElementTree.SubElement(feed, "link", {"rel": "self", "href": own})
    ElementTree.SubElement(feed, "link", {"rel": "alternate", "href": base, "type": "text/html"})
    _add(ElementTree.SubElement(feed, "author"), "name", settings.name)
    for item in latest:
        entry = ElementTree.SubElement(feed, "entry")
        address = item.at.canonical(settings.base_address)
        _add(entry, "id", f"{item.id_at.canonical(settings.base_address)}#{item.key}")
        _add(entry, "title", item.title)
        _add(entry, "updated", _moment(item.on, settings))
        ElementTree.SubElement(entry, "link", {"rel": "alternate", "href": address, "type": "text/html"})
        _add(entry, "summary", item.summary)
    return _serialize(feed)


def sitemap(addresses: Sequence[Address], settings: SiteSettings, changed: Mapping[str, date]) -> bytes:
    """Return the sitemap of every page that search engines may list. Source: the Sitemaps protocol 0.9.

    `changed` are the days of the last changes, by page, as far as they are known.

    Each entry links to the same page in every language of the site, itself included, with XHTML `link` elements.
    """
    ElementTree.register_namespace("xhtml", XHTML)
    listing = ElementTree.Element("urlset", {"xmlns": SITEMAP})
    listed = {address.file for address in addresses}
    for address in addresses:
        entry = ElementTree.SubElement(listing, "url")
        _add(entry, "loc", address.canonical(settings.base_address))
        if address.file in changed:
            _add(entry, "lastmod", changed[address.file].isoformat())
        versions = _versions(address, settings)
        if len(versions) > 1 and listed.issuperset(page.file for page in versions.values()):
            for language, page in versions.items():
                link = {"rel": "alternate", "hreflang": language, "href": page.canonical(settings.base_address)}
                ElementTree.SubElement(entry, f"{{{XHTML}}}link", link)
    return _serialize(listing)


def _versions(address: Address, settings: SiteSettings) -> dict[str, Address]:
    """Return the address of the same page in every language of the site, by language tag."""
    folders = {language: language_folder(language, settings) for language in settings.languages}
    top = address.file.split("/", 1)[0]
    here = top if top in folders.values() else ""
    return {language: same_page(address, here, folder) for language, folder in folders.items()}


def robots(settings: SiteSettings) -> bytes:
    """Return robots.txt, which allows everything and names the sitemap. Source: RFC 9309."""
    place = Address(SITEMAP_FILE).canonical(settings.base_address)
    return f"User-agent: *\nAllow: /\n\nSitemap: {place}\n".encode()


def _add(parent: ElementTree.Element, name: str, text: str) -> None:
    ElementTree.SubElement(parent, name).text = text


def _moment(day: date, settings: SiteSettings) -> str:
    """Return noon of a day in the store's time zone as an RFC 3339 timestamp in UTC. A record has days, not hours."""
    local = datetime.combine(day, time(12), ZoneInfo(settings.time_zone))
    return local.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _serialize(root: ElementTree.Element) -> bytes:
    ElementTree.indent(root)
    xml: str = ElementTree.tostring(root, encoding="unicode")
    return f'<?xml version="1.0" encoding="utf-8"?>\n{xml}\n'.encode()
