"""`sitegen bay`: the page for a phone on which a vehicle is taken in, beside the public site and never inside it."""

from __future__ import annotations

import argparse
import os
import tempfile
from pathlib import Path

from sitegen.commands.shared.clock import UsageError
from sitegen.commands.shared.terminal import Terminal
from sitegen.pages.bay.bay_pages import bay_pages
from sitegen.pages.language.catalog import read_catalog
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.theme import read_theme_data
from sitegen.reading.validation.record_files import read_record
from sitegen.records.store import SiteSettings
from sitegen.shared_data import content_folder, theme_folders

FOLDER = Path("desk") / "bay"
PUBLISHED = "published"


def bay(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write the bay page in the store's languages, units and theme; with a problem in those, nothing."""
    store: Path = arguments.store
    folder: Path = arguments.to or store / FOLDER
    if (store / PUBLISHED).resolve() in (folder.resolve(), *folder.resolve().parents):
        raise UsageError(f"{folder} is published for everybody: the bay page is for the shop, so name another folder")
    settings, _, problems = read_record(SiteSettings, store / "site.yaml", "site.yaml")
    if settings is None:
        terminal.tell(problems)
        return 1
    folders = theme_folders(settings.theme, store)
    theme, theme_problems = read_theme_data(folders)
    if theme is None:
        terminal.tell([*problems, *theme_problems])
        return 1
    content, region = content_folder(), settings.region.value
    catalogs = [read_catalog(content, language, region) for language in settings.languages]
    files = bay_pages(folders, read_figures(content, region), theme.bodies, catalogs)
    folder.mkdir(parents=True, exist_ok=True)
    for name, content_of_it in files.items():
        _put(folder / name, content_of_it)
    terminal.tell(problems)
    terminal.say(f"The bay page: {folder / 'index.html'}   ({len(catalogs)} languages; open it, or serve the folder)")
    return 0


def _put(path: Path, content: bytes) -> None:
    """Write a file in one step: whoever is reading the folder meets the old one or the new one, whole."""
    handle, made = tempfile.mkstemp(dir=path.parent, prefix=".making-")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        Path(made).chmod(0o644)
        Path(made).replace(path)
    except BaseException:
        Path(made).unlink(missing_ok=True)
        raise
