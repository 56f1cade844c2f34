"""Every text of a record is on its page. The records are those of the demo store."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup

from sitegen.records.base import LocalizedText, Record
from tests.builders import merged
from tests.pages.test_omissions import STOCKS, as_written, record_of, told

NO_TEXT_OF_THE_PAGE = {"notes", "film"}
"""Notes are Markdown, and a film has pages of its own."""


def texts_of(written: Any) -> Iterator[str]:
    """Yield every free text of a record, as an English page quotes it."""
    if isinstance(written, LocalizedText):
        yield written.best("en", "en")[0]
    elif isinstance(written, tuple | list):
        for entry in written:
            yield from texts_of(entry)
    elif isinstance(written, Mapping):
        for entry in written.values():
            yield from texts_of(entry)
    elif isinstance(written, Record):
        for key in written.model_fields_set - NO_TEXT_OF_THE_PAGE:
            yield from texts_of(getattr(written, key))


def words_of(page: str) -> str:
    """Return all that a page says, what pictures are said to show among it."""
    soup = BeautifulSoup(page, "html.parser")
    said = [*soup.stripped_strings, *(str(image["alt"]) for image in soup.find_all("img", alt=True))]
    return re.sub(r"\s+", " ", unescape(" ".join(said)))


@pytest.mark.parametrize("stock", STOCKS)
def test_every_text_of_a_record_is_on_its_page(demo_store: Path, stock: str):
    record = record_of(as_written(demo_store, stock))
    assert record is not None
    page = words_of(told(record, demo_store)).casefold()
    texts = {re.sub(r"\s+", " ", text).rstrip(".").casefold() for text in texts_of(record)}
    assert {text for text in texts if text not in page} == set()
    assert len(texts) > 10


ON_OTHER_DAYS = {
    "title": {"state": {"en": "the State of Ostwick", "es": "el estado de Ostwick"}},
    "battery": {"tested": "640 CCA", "tested_on": "2026-10-17"},
    "brake_fluid": {"moisture": "1 %", "tested_on": "2026-10-18"},
    "coolant": {"freezes_at": "-30 °F", "tested_on": "2026-10-19"},
    "traction_battery": {"state_of_health": "91 %", "method": "vehicle display", "measured_on": "2026-10-15"},
    "vehicle": {"fuel": "plug-in hybrid"},
    "paint": [{"panel": "hood", "readings": ["110 µm"]}],
    "inspection": {"gauges": {"paint": {"name": "magnetic paint gauge"}}},
}
"""Of K108, which was inspected on October 20, 2026."""
NOTHING_MEASURED = {
    "battery": {"tested": ..., "rest_voltage": ...},
    "brake_fluid": ...,
    "coolant": ...,
    "tires": ...,
    "brakes": ...,
}


def test_a_test_on_another_day_shows_its_day(demo_store: Path):
    record = record_of(merged(as_written(demo_store, "K108"), ON_OTHER_DAYS))
    assert record is not None
    page = words_of(told(record, demo_store, sheets=False))
    for sentence in (
        "Issued in the State of Ostwick.",
        "Measured on October 17, 2026",
        "Measured on October 18, 2026",
        "Coolant: measured on October 19, 2026.",
        "Measured on October 15, 2026.",
        "Measured on October 20, 2026, magnetic paint gauge.",
        "Rotors and drums: rotor micrometer.",
        "1 open when we looked it up on October 16, 2026. The label that shows how to use the child-seat anchors may"
        " be missing (number B15-07). Remedy: A dealer of the make fits a new label at no charge.",
        "Prices are those of our shop, as of September 2026.",
    ):
        assert sentence in page


def test_an_unmeasured_figure_has_no_day_of_measurement(demo_store: Path):
    record = record_of(merged(as_written(demo_store, "K108"), NOTHING_MEASURED))
    assert record is not None
    page = words_of(told(record, demo_store, sheets=False))
    assert [page[at.start() - 90 : at.end() + 60] for at in re.finditer("Measured on", page)] == []
