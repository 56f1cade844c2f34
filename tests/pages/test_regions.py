"""A page speaks of the rules of its own region, in each language, and of no other's.

What does not hold elsewhere: 16 CFR 455 (the Buyers Guide), 49 CFR 580, and 570, which leaves inspection to the
States. Loads are kilograms (ISO 4000-1); the averages of Great Britain and Europe are per vehicle.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from sitegen.condition.judging import judge
from sitegen.pages.composing import translator_for
from sitegen.pages.composing_vehicle import vehicle_pieces
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.page import Page
from sitegen.pages.frame.theme import read_theme
from sitegen.pages.material import Material
from sitegen.photos.making import make_pictures
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.store import read_store
from sitegen.records.store import Region, miles_a_year
from sitegen.records.vehicle import PlainTerms
from sitegen.shared_data import content_folder
from tests.builders import unmarked
from tests.pages.test_omissions import DAY
from tests.photos.lots import engine_of

UNITED_STATES_ALONE = re.compile(
    r"\bStates?\b(?! of health)|Buyers Guide|form in the (vehicle’s )?window|average driver|\blicensed|thirty-second"
    r"|/32|\blb\b|CFR"
    r"|\bsu estado|\bestatal|[Cc]ada estado|Guía del Comprador|en la ventana|conductor promedio|treintaidosavo"
    r"|con licencia"
)


@pytest.fixture(scope="module")
def material_of(demo_store: Path):
    store, problems = read_store(demo_store, DAY)
    assert store is not None, problems
    with engine_of(demo_store) as engine:
        pictures, _ = make_pictures(store, engine)

    def of(region: Region):
        figures = read_figures(content_folder(), region)
        settings = store.settings.model_copy(update={"region": region})
        return replace(store, settings=settings), Material({}, pictures, figures, {})

    return of


def pages_of(stock: str, language: str, region: Region, material_of) -> str:
    """Return what a vehicle's page and sheets say, without what the store wrote itself."""
    store, material = material_of(region)
    settings = store.settings
    record = next(vehicle.record for vehicle in store.vehicles if vehicle.record.stock == stock)
    own = {"defects": (), "photos": (), "notes": None, "checks": {}, "work_done": (), "sale_terms": PlainTerms.AS_IS}
    record = record.model_copy(update=own)
    a_year = miles_a_year(settings, material.figures.region.average_a_year.value)
    condition = judge(record, material.figures, store.prices, a_year)
    material = replace(material, conditions={stock: condition}, facts={stock: b"{}"})
    theme = read_theme(store)
    around = Surroundings(store, theme, translator_for(language, settings, material.figures), "", DAY)
    renderer = theme.speaking(around.translator.catalog)
    pages = [piece for piece in vehicle_pieces(record, around, material) if isinstance(piece, Page)]
    html = [renderer.page(page.template, frame=page.frame, **page.views) for page in pages]
    return "\n".join(
        " ".join(BeautifulSoup(unmarked(page.decode()), "html.parser").main.get_text(" ").split()) for page in html
    )


@pytest.mark.parametrize("region", [Region.GREAT_BRITAIN, Region.EUROPEAN_UNION])
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("stock", ["K101", "K102"])
def test_pages_of_other_regions_never_mention_rules_of_the_united_states(stock, language, region, material_of):
    text = pages_of(stock, language, region, material_of)
    assert [text[max(found.start() - 60, 0) : found.end() + 20] for found in UNITED_STATES_ALONE.finditer(text)] == []
    assert " kg" in text
    assert ("millas" in text or " miles" in text) <= (region is Region.GREAT_BRITAIN)


def test_pages_of_the_united_states_mention_their_rules(material_of):
    text = pages_of("K102", "en", Region.UNITED_STATES, material_of)
    assert all(words in text for words in ("Your State", "Buyers Guide", "/32", " lb"))
