"""Terms of sale as the boxes of the window form. Source: 16 CFR 455.2(b), form of 2016 (from memory)."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from sitegen.condition.basis.findings import TermsFinding
from sitegen.pages.language.catalog import read_catalog
from sitegen.pages.language.formats import Formats
from sitegen.pages.language.translator import Translator
from sitegen.pages.vehicle.identity import EXPLAINED_TERMS, identity, terms_keys
from sitegen.shared_data import content_folder
from tests.builders import a_vehicle, units_of
from tests.condition.judged import judged

TRANSLATORS = {
    language: Translator(read_catalog(content_folder(), language), Formats(language, "USD", units_of("us")), "en")
    for language in ("en", "es")
}
LIMITED = {"warranty": "Engine, 30 days or 1,000 miles. You pay half.", "kind": "limited"}


@pytest.mark.parametrize(
    ("terms", "words"),
    [
        ("as is", "Sold as is: no warranty from the store"),
        (LIMITED, "Sold with a limited warranty from the store"),
        (
            ["manufacturer warranty", "as is"],
            "Sold as is: no warranty from the store. The manufacturer’s warranty still applies",
        ),
        (
            [LIMITED, "service contract"],
            "Sold with a limited warranty from the store. A service contract is available for a charge",
        ),
        (
            ["implied warranties only", "other used vehicle warranty"],
            "Sold with implied warranties only. Another used-vehicle warranty applies",
        ),
    ],
)
def test_boxes_of_the_form_are_named_together_the_dealers_own_first(terms, words):
    assert identity(a_vehicle(sale_terms=terms), TRANSLATORS["en"]).terms == words


@pytest.mark.parametrize(
    "terms",
    [
        ["as is", "implied warranties only"],
        ["as is", LIMITED],
        ["implied warranties only", LIMITED],
        ["manufacturer warranty"],
        ["as is", "service contract", "service contract"],
        [],
    ],
)
def test_terms_that_exclude_each_other_are_refused(terms):
    with pytest.raises(ValidationError, match="exactly one of as is, implied warranties only and warranty"):
        a_vehicle(sale_terms=terms)


def test_a_warranty_is_explained_as_a_warranty_and_not_as_is():
    keys = terms_keys(a_vehicle(sale_terms=[LIMITED, "service contract"]))
    assert [EXPLAINED_TERMS[key] for key in keys] == ["dealer-warranty", "service-contract"]


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_term_has_a_name_and_an_explanation_that_its_name_opens(language):
    catalog = TRANSLATORS[language].catalog
    for key, slug in EXPLAINED_TERMS.items():
        name = catalog.say(f"terms.{key}").casefold()
        opening = [word for word in catalog.terms[slug].words if word.casefold() in name]
        assert opening, key


# 16 CFR 455.1(d)(2), from memory: the rule is for vehicles below 8,500 lb gross weight.
@pytest.mark.parametrize(("pounds", "has_form"), [(8499, True), (8500, False), (12_500, False), (..., True)])
def test_a_heavy_vehicle_is_not_said_to_carry_the_window_form(pounds, has_form):
    condition = judged(vehicle={"gross_weight_pounds": pounds})
    assert [finding.has_window_form for finding in condition.of(TermsFinding)] == [has_form]
