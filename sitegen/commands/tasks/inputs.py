"""The inputs of pages that all vehicles share: prices, own pages, words, reference figures and theme."""

from __future__ import annotations

from pathlib import Path

from sitegen.engine.reader import Reader
from sitegen.engine.task import Input, task, typed
from sitegen.pages.composing import translator_for
from sitegen.pages.frame.theme import Assets, Look, read_assets, read_look
from sitegen.pages.language.translator import Translator
from sitegen.reading.own_pages import read_own_pages
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.store import read_prices
from sitegen.reading.theme import theme_data
from sitegen.reading.vehicle_task import SETTINGS, reference_places
from sitegen.records.money.prices import PriceList
from sitegen.records.store import OwnPage, SiteSettings
from sitegen.shared_data import content_folder, theme_folders

PRICES: Input[PriceList | None] = Input(
    "prices", lambda store, _: [store / "services.yaml"], lambda store, _: read_prices(store).record
)


def _settings(store: Path) -> SiteSettings:
    settings = SETTINGS.load(store, "")
    assert settings is not None, "pages are made of a store with valid settings"
    return settings


OWN_PAGES: Input[tuple[OwnPage, ...]] = Input(
    "own_pages",
    lambda store, _: [store / "site.yaml", store / "pages"],
    lambda store, _: read_own_pages(store, _settings(store).languages)[0],
)


def _translator(store: Path, language: str) -> Translator:
    settings = _settings(store)
    return translator_for(language, settings, read_figures(content_folder(), settings.region))


TRANSLATOR: Input[Translator] = Input(
    "translator",
    lambda store, language: [store / "site.yaml", content_folder() / language, *reference_places(store, "")],
    _translator,
)
"""By language."""


def _assets(store: Path, theme: str) -> Assets:
    return read_assets(theme_folders(theme, store))


def _look(store: Path, theme: str) -> Look:
    folders = theme_folders(theme, store)
    data = theme_data(folders)
    assert data is not None, "pages are made of a valid theme"
    return read_look(folders, data)


ASSETS: Input[Assets] = Input("assets", lambda store, theme: theme_folders(theme, store).files().values(), _assets)
"""By the theme's name."""
LOOK: Input[Look] = Input(
    "look",
    lambda store, theme: [
        file for file in theme_folders(theme, store).files().values() if file.suffix in (".html", ".yaml", ".woff2")
    ],
    _look,
)
"""By the theme's name."""


@task(typed(tuple[str, tuple[str, ...]]), seconds=0.2)
def asset_names(read: Reader, theme: str) -> tuple[str, tuple[str, ...]]:
    """Return the folder and the published names of a theme's assets, which is all that pages need of them."""
    assets = read.input(ASSETS, theme)
    return assets.folder, tuple(assets.files)
