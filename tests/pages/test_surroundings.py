"""The surroundings of a location's pages are built once for all vehicles there."""

from __future__ import annotations

from pathlib import Path

from sitegen.pages.composing import speaker, surroundings_in_each_language
from sitegen.pages.frame.theme import read_theme
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.store import read_store
from sitegen.shared_data import content_folder
from tests.builders import write_store
from tests.reading.texts import TODAY

EAST = {"name": "Ferrow Lane East", "address": ["2 Ferrow Lane"], "phone": "+1 202 555 0143"}
WEST = {"name": "Ferrow Lane West", "address": ["9 Ferrow Lane"], "phone": "+1 202 555 0144"}


def test_vehicles_of_one_location_share_their_surroundings(tmp_path: Path):
    """A store looks up by a table of all its vehicles: were it made for each page, time would grow by the square."""
    folder = write_store(tmp_path / "store", ({"location": EAST["name"]},), {"locations": [EAST, WEST]})
    store, problems = read_store(folder, TODAY)
    assert store is not None, problems
    speak = speaker(store.settings, read_figures(content_folder(), store.settings.region))
    around = surroundings_in_each_language(store, read_theme(store), TODAY, speak)[0]
    east, west = around.at("Ferrow Lane East"), around.at("Ferrow Lane West")
    assert around.at("Ferrow Lane East") is east
    assert around.at(None) is around
    assert (east.settings.phone, west.settings.phone) == (EAST["phone"], WEST["phone"])
    assert around.settings.phone not in (EAST["phone"], WEST["phone"])
