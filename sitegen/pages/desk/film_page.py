"""Build the view of the film page: the stops and defects that a long film may show, and what its script says."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from markupsafe import Markup

from sitegen.pages.frame.script_data import script_json
from sitegen.pages.language.formats import own_name
from sitegen.pages.language.translator import Translator
from sitegen.pages.vehicle.defects.defects import DefectView
from sitegen.records.disclosure import Station
from sitegen.records.film import COLD_START

_WORDS = (
    *("cannot_play", "no_film", "opened", "open_first", "time", "play", "remove", "phrase", "starts", "ends"),
    *("listening", "cannot_listen", "pauses_found", "no_pauses", "no_captions", "missing", "none_missing"),
    *("nothing_to_save", "saving", "saved", "not_saved"),
)


@dataclass(frozen=True)
class Thing:
    """Something that a chapter may show. `key` is `station front`, `defect ID`, or `out` for a part to leave out."""

    key: str
    words: str


@dataclass(frozen=True)
class CaptionLanguage:
    """A language in which captions may be typed."""

    tag: str
    name: str


@dataclass(frozen=True)
class FilmPage:
    """The film page of one vehicle."""

    stock: str
    vehicle: str
    things: tuple[Thing, ...]
    languages: tuple[CaptionLanguage, ...]


def film_page(
    stock: str, vehicle: str, defects: Iterable[DefectView], languages: Iterable[str], translator: Translator
) -> FilmPage:
    """Return the film page of a vehicle: its defects by number, then the stations in walking order."""
    return FilmPage(
        stock,
        vehicle,
        tuple(_things(defects, translator)),
        tuple(CaptionLanguage(tag, own_name(tag)) for tag in languages),
    )


def _things(defects: Iterable[DefectView], translator: Translator) -> Iterator[Thing]:
    for defect in defects:
        words = translator.say(
            "desk_film.thing_defect", number=str(defect.number), words=f"{defect.kind}, {defect.part.text}"
        )
        yield Thing(f"defect {defect.anchor}", words)
    yield Thing(f"station {COLD_START}", translator.say("film.cold_start"))
    for station in Station:
        yield Thing(f"station {station}", translator.choice("station", station))
    yield Thing("out", translator.say("desk_film.out"))


def film_script_data(page: FilmPage, translator: Translator) -> Markup:
    """Return the data of the page's script as JSON."""
    return script_json(
        {
            "stock": page.stock,
            "languages": [language.tag for language in page.languages],
            "things": [{"key": thing.key, "words": thing.words} for thing in page.things],
            "words": {key: translator.catalog.form(f"desk_film.{key}") for key in _WORDS},
        }
    )
