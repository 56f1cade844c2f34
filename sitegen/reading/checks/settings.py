"""Checks of the store's settings and price list against the languages, themes and services that sitegen has."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from sitegen.reading.validation.did_you_mean import did_you_mean, listed
from sitegen.reading.yaml.marks import Marks
from sitegen.records.problems import Problem
from sitegen.records.reference import Vocabulary
from sitegen.records.store import PriceList, SiteSettings


def check_settings(
    settings: SiteSettings, marks: Marks, languages_on_offer: Collection[str], themes_on_offer: Collection[str]
) -> Iterator[Problem]:
    """Yield errors for languages without a catalog, for languages listed twice, and for an unknown theme."""
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
    """Yield an error for each price of an unknown service."""
    for service in prices.prices:
        if service not in vocabulary.prices:
            mend = did_you_mean(service, vocabulary.prices, "`sitegen help services` lists them")
            path = ("prices", service)
            found = f'the key "{service}"'
            yield marks.problem(path, "a service or part that sitegen knows", mend, found=found, at_key=True)
