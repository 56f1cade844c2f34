"""Find examples that `sitegen start` wrote, and addresses and numbers that cannot be real.

They are errors once the line `demo: true` is gone, so that no store publishes them. Sources: RFC 2606 and RFC 6761
reserve the domain names; the North American Numbering Plan Administrator reserves 555-0100 to 555-0199 for fiction
(Central Office Code Assignment Guidelines, ATIS-0300051).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Any
from urllib.parse import urlsplit

import yaml

from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.problems import Problem
from sitegen.records.store import Location, OwnPage, SiteSettings
from sitegen.shared_data import content_folder

_RESERVED_HOST = re.compile(r"(.*\.)?(example(\.com|\.net|\.org)?|test|invalid|localhost)", re.IGNORECASE)
_FICTIONAL_NUMBER = re.compile(r"\+1[ ().-]*\d{3}[ ().-]*555[ ().-]*01\d\d")
_EXPECTED = "your store's own"
_MEND = "put your own in its place; an invented store keeps the line `demo: true`"


def check_placeholders(settings: SiteSettings, marks: Marks) -> Iterator[Problem]:
    """Yield an error for each setting that is only an example, unless the store is a demo."""
    if settings.demo:
        return
    example = _starter_settings()
    if settings.name == example["name"]:
        yield _problem(marks, ("name",))
    for place, line in enumerate(settings.address):
        if line in example["address"]:
            yield _problem(marks, ("address", place))
    host = urlsplit(settings.base_address).hostname or ""
    if _RESERVED_HOST.fullmatch(host):
        yield _problem(marks, ("base_address",))
    yield from _of_contacts(settings, marks, ())
    for place, location in enumerate(settings.locations):
        yield from _of_contacts(location, marks, ("locations", place))


def check_page_placeholders(settings: SiteSettings, pages: tuple[OwnPage, ...]) -> Iterator[Problem]:
    """Yield an error for each page that still has the text that `sitegen start` wrote."""
    if settings.demo:
        return
    for page in pages:
        if page.markdown.strip() in _starter_texts():
            folder = "pages" if page.language in ("", settings.first_language) else f"pages/{page.language}"
            found = "the words that sitegen start wrote"
            yield Problem(f"{folder}/{page.slug}.md", 3, 1, "", found, f"{_EXPECTED} words", _MEND)


def _of_contacts(contacts: SiteSettings | Location, marks: Marks, at: KeyPath) -> Iterator[Problem]:
    for key in ("phone", "text_messages"):
        if _FICTIONAL_NUMBER.fullmatch(getattr(contacts, key) or ""):
            yield _problem(marks, (*at, key))
    if contacts.email and _RESERVED_HOST.fullmatch(contacts.email.rpartition("@")[2]):
        yield _problem(marks, (*at, "email"))


def _problem(marks: Marks, path: KeyPath) -> Problem:
    return marks.problem(path, _EXPECTED, _MEND)


@cache
def _starter_settings() -> dict[str, Any]:
    text = (content_folder() / "reference" / "starter" / "site.yaml").read_text("utf-8")
    settings: dict[str, Any] = yaml.safe_load(text)
    return settings


@cache
def _starter_texts() -> frozenset[str]:
    pages = (content_folder() / "reference" / "starter" / "pages").rglob("*.md")
    return frozenset(page.read_text("utf-8").partition("\n")[2].strip() for page in pages)
