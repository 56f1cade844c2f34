"""The frame of every page: its head, the store's header and footer, navigation and languages."""

from __future__ import annotations

import posixpath
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from markupsafe import Markup

from sitegen.pages.frame.addresses import (
    DATA_FILE,
    Address,
    feed_file,
    inventory_page,
    language_folder,
    own_page,
    same_page,
)
from sitegen.pages.frame.theme import Theme
from sitegen.pages.language.formats import own_name
from sitegen.pages.language.translator import Translator
from sitegen.records.base import nearest_language
from sitegen.records.store import OwnPage, SiteSettings, Store
from sitegen.records.trip.hours import WeekDay


@dataclass(frozen=True)
class Link:
    """A link. `is_here`: it leads to its own page. `language`: that of its words, if it is not the page's."""

    words: str
    href: str
    is_here: bool = False
    language: str | None = None


@dataclass(frozen=True)
class LanguageLink:
    """The link to the same page in one of the site's languages. `name` is the language's own name for itself."""

    tag: str
    name: str
    href: str
    canonical: str
    is_here: bool


@dataclass(frozen=True)
class Contact:
    """The store's contact details, with links to call, text and write."""

    name: str
    address: tuple[str, ...]
    phone: Link
    text_messages: Link | None
    email: Link | None
    hours: tuple[tuple[str, str], ...]
    """Days and times, in words."""


@dataclass(frozen=True)
class Frame:
    """Everything on a page besides its own content."""

    title: str
    description: str
    locale: str
    """Language and country of the page in the form of the Open Graph protocol: en_US."""
    canonical: str
    style_sheet: str
    sheet_style: str
    """The style sheet that only the sheets for paper add."""
    scripts: str
    """The folder of the scripts. Each page names its own entry script in it."""
    icon: str
    home: str
    store_name: str
    links: tuple[Link, ...]
    languages: tuple[LanguageLink, ...]
    """Links to this page in each of the site's languages, the store's first language first; empty if it has only
    one."""
    contact: Contact
    locations: tuple[Contact, ...]
    """The locations of a group, on pages that do not belong to one of them."""
    demo_notice: str | None
    feed: str
    data: Link
    json_ld: Markup | None = None
    share_image: ShareImage | None = None
    kept_from_search: bool = False
    base: str | None = None
    """The base of relative links, only for the not-found page: a host serves it at any address."""


@dataclass(frozen=True)
class ShareImage:
    """The preview picture of a shared link."""

    address: str
    words: str
    width: int
    height: int


@dataclass(frozen=True)
class Surroundings:
    """The inputs that all pages of one language share: store, theme, translator, folder and day."""

    store: Store
    theme: Theme
    translator: Translator
    language_folder: str
    today: date

    @property
    def settings(self) -> SiteSettings:
        """The store's settings."""
        return self.store.settings

    def frame(
        self,
        at: Address,
        title: str,
        description: str,
        *,
        json_ld: Markup | None = None,
        share_image: ShareImage | None = None,
        kept_from_search: bool = False,
        canonical: Address | None = None,
        base: str | None = None,
        in_languages_of: Address | None = None,
        in_each_language: bool = True,
    ) -> Frame:
        """Return the frame of the page at an address.

        `canonical` names another page that search engines should list in place of this one. `in_languages_of` names
        another page whose versions the language links lead to. `in_each_language` is False for a page that exists in
        one language only.
        """
        translator, settings = self.translator, self.settings
        home = inventory_page(self.language_folder)
        links = [Link(translator.say("nav.inventory"), at.to(home.file), home == at)]
        for page in self.own_pages():
            there = own_page(page.slug, self.language_folder)
            language = None if page.language == translator.language else page.language
            links.append(Link(page.title, at.to(there.file), there == at, language))
        return Frame(
            title=translator.say("frame.title", page=title, store=settings.name),
            description=shortened(description),
            locale=translator.formats.locale_tag.replace("-", "_"),
            canonical=(canonical or at).canonical(settings.base_address),
            style_sheet=at.to(self.theme.style_sheet),
            sheet_style=at.to(self.theme.sheet_style),
            scripts=at.to(self.theme.folder),
            icon=at.to(self.theme.icon),
            home=at.to(home.file),
            store_name=settings.name,
            links=tuple(links),
            languages=self.in_each_language(in_languages_of or at) if in_each_language else (),
            contact=contact(settings, translator),
            locations=tuple(contact(settings.at(place.name), translator) for place in settings.locations),
            demo_notice=translator.say("frame.demo") if settings.demo else None,
            feed=at.to(feed_file(self.language_folder)),
            data=Link(translator.say("data.link"), at.to(posixpath.join(self.language_folder, DATA_FILE))),
            json_ld=json_ld,
            share_image=share_image,
            kept_from_search=kept_from_search,
            base=base,
        )

    def at(self, location: str | None) -> Surroundings:
        """Return the surroundings with the contact details of one of the group's locations.

        None returns them unchanged.

        They are for pages about the vehicles at that location.
        """
        if location is None:
            return self
        if location not in self._places:
            self._places[location] = replace(self, store=replace(self.store, settings=self.settings.at(location)))
        return self._places[location]

    @cached_property
    def _places(self) -> dict[str, Surroundings]:
        """Cache of the surroundings of each location, so that a store's lookup tables are built once for each."""
        return {}

    def in_each_language(self, at: Address) -> tuple[LanguageLink, ...]:
        """Return links to the versions of a page in each language of the site.

        `at` is its address in this language.
        """
        languages = self.settings.languages
        there = {tag: same_page(at, self.language_folder, language_folder(tag, self.settings)) for tag in languages}
        return tuple(
            LanguageLink(
                tag=tag,
                name=own_name(tag),
                href=at.to(page.file),
                canonical=page.canonical(self.settings.base_address),
                is_here=tag == self.translator.language,
            )
            for tag, page in there.items()
            if len(languages) > 1
        )

    def own_pages(self) -> tuple[OwnPage, ...]:
        """Return the store's own pages, each in this language, or else in the store's first, or else in any."""
        versions: dict[str, dict[str, OwnPage]] = {}
        for page in self.store.own_pages:
            versions.setdefault(page.slug, {})[page.language] = page
        wanted, otherwise = self.translator.language, self.settings.languages
        return tuple(versions[slug][nearest_language(wanted, otherwise, versions[slug])] for slug in sorted(versions))


MOST_OF_DESCRIPTION = 160
"""Longest description in characters. Search engines cut longer ones (common practice)."""


def shortened(text: str) -> str:
    """Return the first sentences of a text that fit a description; or, of a long sentence, its first words."""
    text = " ".join(text.split())
    if len(text) <= MOST_OF_DESCRIPTION:
        return text
    beginning = text[: MOST_OF_DESCRIPTION - 1]
    sentences = beginning.rpartition(". ")[0]
    if len(sentences) >= MOST_OF_DESCRIPTION // 3:
        return f"{sentences}."
    return f"{beginning.rpartition(' ')[0].rstrip(',;:')}\N{HORIZONTAL ELLIPSIS}"


def contact(settings: SiteSettings, translator: Translator) -> Contact:
    """Return the store's contact details. Links follow RFC 3966 (tel), RFC 5724 (sms) and RFC 6068 (mailto)."""
    texts, email = settings.text_messages, settings.email
    return Contact(
        name=settings.name,
        address=settings.address,
        phone=Link(translator.say("contact.call", number=settings.phone), f"tel:{dialled(settings.phone)}"),
        text_messages=Link(translator.say("contact.text", number=texts), f"sms:{dialled(texts)}") if texts else None,
        email=Link(translator.say("contact.email", address=email), f"mailto:{email}") if email else None,
        hours=tuple(_opening_hours(settings, translator)),
    )


def _opening_hours(settings: SiteSettings, translator: Translator) -> Iterator[tuple[str, str]]:
    """Yield days and times in words: `Monday to Friday` and `9 AM to 6 PM`."""
    formats, week = translator.formats, tuple(WeekDay)
    for line in settings.hours:
        first, *rest = (formats.week_day(week.index(day)) for day in line.days)
        days = translator.say("contact.days", first=first, last=rest[-1]) if rest else first
        times = [
            translator.say(
                "contact.hours", opens=formats.time_of_day(each.opens), closes=formats.time_of_day(each.closes)
            )
            for each in line.hours.periods
        ]
        yield days[:1].upper() + days[1:], translator.listed(times) if times else translator.say("contact.closed")


def dialled(number: str) -> str:
    """Return a telephone number without spaces and hyphens."""
    return number.replace(" ", "").replace("-", "")
