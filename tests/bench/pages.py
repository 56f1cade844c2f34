"""Bench `pages`: the cost of cold pages, against a floor that only renders views and writes files."""

from __future__ import annotations

import argparse
import io
import math
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from unittest.mock import patch

from sitegen.commands.shared.composition import BuildRequest, BuildResult, compose
from sitegen.commands.shared.terminal import Terminal
from sitegen.engine.mapping import Executors
from sitegen.pages.composing import Speak, speaker, surroundings_in_each_language
from sitegen.pages.composing_vehicle import vehicle_pieces
from sitegen.pages.frame.page import Page
from sitegen.pages.frame.theme import Renderer, read_theme
from sitegen.publishing.staging import stage
from tests.bench.rebuild import forget
from tests.builders import write_store
from tests.inventories import varied_vehicles

MOST = 200


def run(arguments: argparse.Namespace) -> None:
    """Print the table."""
    count = min(arguments.rebuilt, MOST)
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        store = write_store(place / "store", varied_vehicles(count), photo_size=(320, 240))
        done = compose(BuildRequest(store), Terminal(io.StringIO(), io.StringIO()))
        assert done.material is not None, done.problems
        speak = speaker(done.store.settings, done.material.figures) if done.store else None
        assert speak is not None
        views = views_of(done, speak)
        least = _processor(lambda: rendered_only(views, place / "floor"))
        forget(store)
        whole = _processor(lambda: made_anew(store, place / "made"))
    print(f"| pages of {count:,} vehicles, processor on one core | | floor |\n| --- | --- | --- |")
    print(f"| {len(views):,} pages rendered from views at hand, and written: the floor | {least:.1f} s | 1 |")
    print(f"| composed, rendered, written, all that is about them too | {whole:.1f} s | {whole / least:.1f} |")


def views_of(done: BuildResult, speak: Speak) -> list[tuple[Page, Renderer]]:
    """Return every page of a vehicle as a value, and what renders it, its template compiled."""
    assert done.store is not None
    assert done.material is not None
    pages = []
    for around in surroundings_in_each_language(done.store, read_theme(done.store), done.today, speak):
        renderer = around.theme.speaking(around.translator.catalog)
        for record in done.material.published(done.store):
            for piece in vehicle_pieces(record, around.at(record.location), done.material):
                if isinstance(piece, Page):
                    renderer.environment.get_template(piece.template)
                    pages.append((piece, renderer))
    return pages


def rendered_only(views: list[tuple[Page, Renderer]], folder: Path) -> None:
    """Render pages and write them, and nothing else."""
    for page, renderer in views:
        template = renderer.environment.get_template(page.template)
        content = template.render(frame=page.frame, other_languages=None, **page.views).encode()
        target = folder / page.address.file
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)


def made_anew(store: Path, folder: Path) -> None:
    """Compose the whole site from stored pictures in this process, and write it as a publication does."""
    no_workers = partial(Executors, worth_workers=math.inf)
    with patch("sitegen.commands.shared.composition.Executors", no_workers):
        done = compose(BuildRequest(store), Terminal(io.StringIO(), io.StringIO()))
    assert done.site is not None
    folder.mkdir()
    stage(done.site, folder / "none", folder)


def _processor(act: Callable[[], object]) -> float:
    start = time.process_time()
    act()
    return time.process_time() - start
