"""`sitegen bay`: write the bay page, on which staff take in a vehicle with a phone.

It is never part of the public site.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from sitegen.commands.shared.desk import put_on_desk
from sitegen.commands.shared.terminal import Terminal
from sitegen.pages.bay.bay_pages import bay_pages
from sitegen.pages.bay.labels import missing_labels
from sitegen.pages.bay.vocabulary import Shop
from sitegen.pages.composing import translator_for
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.theme import read_theme_data
from sitegen.reading.validation.record_files import read_record
from sitegen.records.store import SiteSettings
from sitegen.shared_data import content_folder, theme_folders


def bay(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write the bay page in the store's languages, units and theme. If those have an error, write nothing."""
    store: Path = arguments.store
    settings, _, problems = read_record(SiteSettings, store / "site.yaml", "site.yaml")
    if settings is None:
        terminal.tell(problems)
        return 1
    folders = theme_folders(settings.theme, store)
    theme, theme_problems = read_theme_data(folders)
    if theme is None:
        terminal.tell([*problems, *theme_problems])
        return 1
    figures = read_figures(content_folder(), settings.region.value)
    translators = [translator_for(language, settings, figures) for language in settings.languages]
    unnamed = [problem for translator in translators for problem in missing_labels(folders, translator.catalog)]
    if unnamed:
        terminal.tell([*problems, *unnamed])
        return 1
    files = bay_pages(folders, Shop(figures, theme.bodies, translators, [place.name for place in settings.locations]))
    folder = put_on_desk(store, "bay", arguments.to, files)
    terminal.tell(problems)
    terminal.say(
        f"The bay page: {folder / 'index.html'}   ({len(translators)} languages; open it, or serve the folder)"
    )
    return 0
