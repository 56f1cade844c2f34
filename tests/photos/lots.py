"""Small stores with real photos, made for one test each."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from sitegen.engine.engine import Engine
from sitegen.photos.deriving.share_picture import ShareCard, ShareStyle
from sitegen.photos.making import make_pictures, make_share_pictures
from sitegen.photos.photo_warnings import warnings_about
from sitegen.photos.planning.pictures import Picture, Pictures
from sitegen.records.problems import Problem
from sitegen.records.store import Store, StoredVehicle
from tests.builders import a_vehicle, some_settings, some_theme

STOCK = "K900"
COLORS = {"red": (200, 40, 30), "green": (40, 150, 60), "blue": (40, 60, 190), "yellow": (220, 200, 50)}
"""The upright quarters of `a_scene`: top left, top right, bottom left, bottom right."""


STYLE = ShareStyle(some_theme().share_look, some_theme().share_font.read_bytes())


def engine_of(folder: Path, cache: Path | None = None, warn: Callable[[str], None] = pytest.fail) -> Engine:
    """Return the engine of a store, or of a folder that only has a cache."""
    return Engine.opened(folder, date(2026, 11, 21), warn, cache)


def make_share_picture(card: ShareCard, pictures: Pictures) -> Path:
    """Return the file of one share picture, drawn if need be."""
    with engine_of(pictures.folder.parent.parent, pictures.folder.parent) as engine:
        return make_share_pictures({"one": card}, engine)["one"]


def a_scene(size: tuple[int, int] = (400, 300)) -> Image.Image:
    """Return an upright picture of four colored quarters: no turn and no mirroring looks like another."""
    width, height = size
    scene = Image.new("RGB", size)
    places = ((0, 0), (width // 2, 0), (0, height // 2), (width // 2, height // 2))
    for color, place in zip(COLORS.values(), places, strict=True):
        scene.paste(color, (*place, place[0] + width // 2, place[1] + height // 2))
    return scene


def grain(size: tuple[int, int] = (400, 300)) -> Image.Image:
    """Return a picture of noise, in which any trace of the original would show."""
    bands = [Image.effect_noise(size, 120) for _ in range(3)]
    return Image.merge("RGB", bands)


def photos_folder(store_folder: Path, stock: str = STOCK) -> Path:
    """Return the folder for photos of a vehicle, made if need be."""
    folder = store_folder / "vehicles" / stock / "photos"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def store_of(folder: Path, *vehicles: Mapping[str, Any]) -> Store:
    """Return a store of vehicles, each given by the changes to the base vehicle's record."""
    stored = []
    for changes in vehicles:
        record = a_vehicle(**{"stock": STOCK, "defects": [], "checks": {}, **changes})
        file = f"vehicles/{record.stock}/inspection.yaml"
        stored.append(StoredVehicle(record, folder / "vehicles" / record.stock, file))
    return Store(folder, some_settings(), None, tuple(stored), (), some_theme())


def naming(*files: str, cover: Iterable[Mapping[str, float]] = ()) -> dict[str, Any]:
    """Return a record's `photos`, with one entry for each file."""
    return {"photos": [{"file": file, "shows": "The vehicle on the lot.", "cover": list(cover)} for file in files]}


def make(store: Store) -> tuple[Pictures, tuple[Problem, ...]]:
    """Make the pictures of a store in this process."""
    with engine_of(store.folder) as engine:
        return make_pictures(store, engine)


def warnings_of(store: Store, cache: Path | None = None) -> tuple[Problem, ...]:
    """Return the warnings about the photos of a store."""
    with engine_of(store.folder, cache) as engine:
        return warnings_about(store, engine)


def make_one(folder: Path, file: str, **changes: Any) -> tuple[Pictures, Picture]:
    """Make the pictures of the one photo that lies in the base vehicle's folder."""
    pictures, problems = make(store_of(folder, naming(file, **changes)))
    assert problems == ()
    return pictures, pictures.of(STOCK, file)


def opened(pictures: Pictures, name: str) -> Image.Image:
    """Return a picture that was made, decoded."""
    with Image.open(pictures.files()[name]) as image:
        return image.convert("RGB")


def far_apart(one: Iterable[float], other: Iterable[float]) -> float:
    """Return the largest difference between two colors in any channel."""
    return max(abs(a - b) for a, b in zip(one, other, strict=True))


def quarter(image: Image.Image, across: int, down: int) -> tuple[float, ...]:
    """Return the color in the middle of a quarter of a picture."""
    x, y = round(image.width * (0.25 + across / 2)), round(image.height * (0.25 + down / 2))
    color = image.getpixel((x, y))
    assert isinstance(color, tuple)
    return color
