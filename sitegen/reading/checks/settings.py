"""Checks of the store's settings and price list against the languages, themes and services that sitegen has."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from sitegen.reading.validation.did_you_mean import did_you_mean, listed
from sitegen.reading.yaml.marks import Marks
from sitegen.records.money.prices import PriceList
from sitegen.records.problems import Problem, Severity
from sitegen.records.reference import Vocabulary
from sitegen.records.store import FORMAT, SiteSettings


def check_settings(
    settings: SiteSettings,
    marks: Marks,
    languages_on_offer: Collection[str],
    themes_on_offer: Collection[str],
    *,
    is_whole: bool,
) -> Iterator[Problem]:
    """Yield errors for another format, languages without a catalog or listed twice, and an unknown theme.

    `is_whole` says whether the settings are complete.
    """
    is_stated = "format" in settings.model_fields_set
    if settings.format < FORMAT and (is_stated or is_whole):
        found = f"format {settings.format}" if is_stated else "no format, so format 1"
        mend = "run sitegen convert with this folder"
        yield marks.problem(("format",), f"format: {FORMAT}", mend, found=found)
    elif settings.format > FORMAT:
        expected = f"format: {FORMAT}, the newest that this version of sitegen reads"
        yield marks.problem(("format",), expected, "install the version of sitegen that wrote this store")
    for place, language in enumerate(settings.languages):
        path = ("languages", place)
        if language in settings.languages[:place]:
            yield marks.problem(path, "each language once", "delete one of the two", found=f"{language} again")
        elif language not in languages_on_offer:
            expected = f"a language that sitegen has words in ({listed(sorted(languages_on_offer))})"
            yield marks.problem(path, expected, "choose one of these, or add a folder of words for it")
    if settings.theme not in themes_on_offer:
        expected = f"a theme that sitegen has ({listed(sorted(themes_on_offer))})"
        mend = did_you_mean(settings.theme, themes_on_offer, "leave it out, and put files of your own in theme/")
        yield marks.problem(("theme",), expected, mend)


def check_prices(prices: PriceList, marks: Marks, vocabulary: Vocabulary) -> Iterator[Problem]:
    """Yield an error for each price of an unknown service, and a warning for each that is still from memory."""
    for place, entry in enumerate(prices.for_some):
        if entry.service not in vocabulary.prices:
            mend = did_you_mean(entry.service, vocabulary.prices, "`sitegen help services` lists them")
            yield marks.problem(("for_some", place, "service"), "a service or part that sitegen knows", mend)
        elif entry.hours is not None and prices.labor_rate is None:
            mend = "write what an hour of labor costs, such as labor_rate: 110"
            yield marks.problem(("for_some", place, "hours"), "`labor_rate` in the price list", mend)
    guesses = [service for service, price in prices.prices.items() if price.from_memory]
    guesses += [
        f"{entry.service} in for_some"
        for entry in prices.for_some
        if any(price and price.from_memory for price in (entry.price, entry.hours, entry.parts))
    ]
    guesses += ["labor_rate"] if prices.labor_rate and prices.labor_rate.from_memory else []
    if guesses:
        names = listed(guesses, "and")
        found = f"{len(guesses)} from memory ({names})"
        mend = "write your own price of each and leave out `from memory`; until then it counts as no price"
        yield marks.problem(("prices",), "your own prices", mend, found=found, severity=Severity.WARNING)
    for service in prices.prices:
        if service not in vocabulary.prices:
            mend = did_you_mean(service, vocabulary.prices, "`sitegen help services` lists them")
            path = ("prices", service)
            found = f'the key "{service}"'
            yield marks.problem(path, "a service or part that sitegen knows", mend, found=found, at_key=True)
