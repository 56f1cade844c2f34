"""Build the files of the desk: the to-do list, and a page for each vehicle, in each of the store's languages.

The pages make no requests, work when opened from a folder, and link only to the public site.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from urllib.parse import quote

from markupsafe import Markup

from sitegen.condition.basis.findings import Condition
from sitegen.condition.standing.words import notes_on_rust
from sitegen.pages.desk.answers import answers
from sitegen.pages.desk.film_page import FilmPage, film_page, film_script_data
from sitegen.pages.desk.filmed_walk import FilmedWalk, filmed_walk
from sitegen.pages.desk.text_messages import (
    ALPHABET,
    EXTENSION,
    MessageLength,
    message_length,
    plainly,
    without_costly,
)
from sitegen.pages.desk.to_do import Circumstances, ToDo, ToDoKind, to_do
from sitegen.pages.frame.addresses import (
    disclosure_sheet_page,
    mechanic_sheet_page,
    vehicle_page,
    window_sheet_page,
)
from sitegen.pages.frame.frame import Link, Surroundings
from sitegen.pages.frame.script_data import script_json
from sitegen.pages.frame.theme import style_sheet
from sitegen.pages.language.formats import own_name
from sitegen.pages.language.translator import Text, Translator
from sitegen.pages.print.qr_codes import QrCode, qr_code
from sitegen.pages.vehicle.condition_page import ConditionPage, condition_page
from sitegen.pages.vehicle.identity import vehicle_name
from sitegen.pages.vehicle.shared.share_card import share_card, share_drawing, share_figures, share_image
from sitegen.pages.vehicle.views import VehicleViews
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.base import LocalizedText
from sitegen.records.figures import Figures
from sitegen.records.store import miles_a_year
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import ThemeFolders

_STYLES = ("styles/1-tokens.css", "styles/2-base.css", "components/qr-code/qr-code.css", "desk/desk.css")
_COPIED = (
    *("desk/*.js", "bay/vendor/fflate*", "bay/zipped.js", "bay/moments.js"),
    *("fonts/*.woff2", "fonts/*.txt", "icons/icon.svg"),
)
_SHEETS = {
    "desk.window_sheet": window_sheet_page,
    "desk.disclosure_sheet": disclosure_sheet_page,
    "desk.mechanic_sheet": mechanic_sheet_page,
}


@dataclass(frozen=True)
class DeskLanguage:
    """A link to the same page of the desk in another language. `name` is the language's own name for itself."""

    tag: str
    name: str
    href: str


@dataclass(frozen=True)
class DeskMaterial:
    """The inputs of the desk besides the store."""

    conditions: Mapping[str, Condition]
    """The findings about every vehicle that is not in preparation, held back or not, by stock number."""
    shown: frozenset[str]
    """The stock numbers that have a page."""
    pictures: Pictures
    figures: Figures
    faults: Mapping[str, tuple[ToDo, ...]]
    """The to-do items for faulty files of vehicles that were left out, by stock number."""
    files: Mapping[str, Path]
    """The site's pictures, share pictures included, by their path in the site."""


@dataclass(frozen=True)
class TextMessage:
    """A prepared text message, its length in words, a note on costly characters, and its `sms:` link."""

    text: str
    length: str
    costly: str | None
    sms: str


@dataclass(frozen=True)
class AnswerView:
    """An answer to a buyer's question, with the prepared message that sends it."""

    question: str
    said: Text
    where: str
    message: TextMessage


@dataclass(frozen=True)
class OfVehicle:
    """The to-do items of one kind for one vehicle, with a link to the vehicle's desk page if it has one."""

    vehicle: str
    href: str | None
    things: tuple[Text, ...]


@dataclass(frozen=True)
class ToDoGroup:
    """The to-do items of one kind, by vehicle."""

    heading: str
    why: str
    vehicles: tuple[OfVehicle, ...]


@dataclass(frozen=True)
class VehicleDesk:
    """The desk page of one vehicle."""

    name: str
    about: str
    address: str
    message: TextMessage
    answers: tuple[AnswerView, ...]
    code: QrCode
    picture: str | None
    picture_words: str
    sheets: tuple[Link, ...]
    to_do: tuple[ToDoGroup, ...]
    walk: FilmedWalk
    film: FilmPage
    film_href: str


@dataclass(frozen=True)
class VehicleLine:
    """A vehicle in the desk's list: its to-do count, and a link to its desk page if it has a public page."""

    name: str
    about: str
    href: str | None
    to_do: str


def desk_pages(
    folders: ThemeFolders, spoken: Sequence[Surroundings], judged: DeskMaterial
) -> Iterator[tuple[str, bytes | Path]]:
    """Yield the path of every file in the folder, with its bytes or the file to copy.

    `index.html` is in the store's first language.
    """
    yield "desk.css", style_sheet(folders, _STYLES)
    for pattern in _COPIED:
        yield from ((path.rpartition("/")[2], file) for path, file in folders.files(pattern).items())
    for around in spoken:
        yield from _in_one_language(around, judged)


def _in_one_language(around: Surroundings, judged: DeskMaterial) -> Iterator[tuple[str, bytes | Path]]:
    translator = around.translator
    renderer = around.theme.speaking(translator.catalog)
    script_data = _script_data(translator)
    todos: list[tuple[VehicleRecord | str, tuple[ToDo, ...]]] = [*judged.faults.items()]
    lines, hrefs = [], {}
    for vehicle in around.store.vehicles:
        record = vehicle.record
        condition = judged.conditions.get(record.stock)
        here = around.at(record.location)
        asked = Circumstances(around.settings, judged.figures.vocabulary, around.today, translator)
        left = to_do(record, condition, record.film, asked) if condition else ()
        todos.append((record, left))
        has_page = record.stock in judged.shown
        lines.append(_line(record, left, has_page, translator))
        if condition is not None and has_page:
            hrefs[record.stock] = f"vehicles/{_page_of(record.stock, translator.language)}"
            view, picture = _vehicle_desk(record, condition, left, here, judged)
            if picture is not None:
                yield picture
            yield (
                hrefs[record.stock],
                renderer.page(
                    "desk/vehicle.html", desk=view, root="../", script_data=script_data, **_around(record.stock, here)
                ),
            )
            yield (
                f"films/{_page_of(record.stock, translator.language)}",
                renderer.page(
                    "desk/film.html",
                    film=view.film,
                    here=translator.language,
                    root="../",
                    script_data=film_script_data(view.film, translator),
                    **_around(record.stock, here),
                ),
            )
    file = _index(translator.language, around)
    yield (
        file,
        renderer.page(
            "desk/index.html",
            lines=tuple(lines),
            to_do=tuple(_groups(todos, translator, hrefs)),
            root="",
            **_around(None, around),
        ),
    )


def _page_of(stock: str, language: str) -> str:
    return f"{stock}.{language}.html"


def _index(language: str, around: Surroundings) -> str:
    return "index.html" if language == around.settings.first_language else f"index.{language}.html"


def _around(stock: str | None, around: Surroundings) -> dict[str, object]:
    """Return the template variables of the frame: store name, and links to the index and other languages."""
    here = around.translator.language
    hrefs = {tag: _index(tag, around) if stock is None else _page_of(stock, tag) for tag in around.settings.languages}
    others = tuple(DeskLanguage(tag, own_name(tag), href) for tag, href in hrefs.items() if tag != here)
    return {"others": others, "home": _index(here, around), "store": around.settings.name}


def _line(record: VehicleRecord, left: tuple[ToDo, ...], has_page: bool, translator: Translator) -> VehicleLine:
    href = f"vehicles/{_page_of(record.stock, translator.language)}" if has_page else None
    status = translator.choice("status", record.status)
    about = translator.listed_plainly([translator.say("identity.stock", stock=record.stock), status])
    things = translator.count("desk.things", len(left)) if left else translator.say("desk.no_things")
    return VehicleLine(vehicle_name(record), about, href, things)


def _groups(
    todos: Sequence[tuple[VehicleRecord | str, tuple[ToDo, ...]]],
    translator: Translator,
    hrefs: Mapping[str, str] = MappingProxyType({}),
) -> Iterator[ToDoGroup]:
    """Group the to-do items by kind, the most costly kind first. `hrefs` links to desk pages, by stock number."""
    for kind in ToDoKind:
        of_kind = [(whose, tuple(item.words for item in left if item.kind is kind)) for whose, left in todos]
        vehicles = tuple(
            OfVehicle(_whose(whose), hrefs.get(_stock(whose)), things) for whose, things in of_kind if things
        )
        if vehicles:
            yield ToDoGroup(translator.say(f"desk.do.{kind}"), translator.say(f"desk.why.{kind}"), vehicles)


def _stock(whose: VehicleRecord | str) -> str:
    return whose if isinstance(whose, str) else whose.stock


def _whose(whose: VehicleRecord | str) -> str:
    return whose if isinstance(whose, str) else f"{whose.stock}, {vehicle_name(whose)}"


def _vehicle_desk(
    record: VehicleRecord, condition: Condition, left: tuple[ToDo, ...], around: Surroundings, judged: DeskMaterial
) -> tuple[VehicleDesk, tuple[str, Path] | None]:
    translator, settings = around.translator, around.settings
    at = vehicle_page(record.stock, around.language_folder)
    a_year = miles_a_year(settings, judged.figures.region.average_a_year.value)
    vocabulary = judged.figures.vocabulary
    views = VehicleViews(record, condition, judged.pictures, vocabulary, translator, at)
    page = condition_page(views, a_year, (), around)
    card = share_card(record, page.identity.name, share_figures(page, around.translator), judged.pictures, around)
    drawing = share_drawing(card)
    address = at.canonical(settings.base_address)
    drawn = judged.files.get(drawing.file)
    view = VehicleDesk(
        name=page.identity.name,
        about=translator.listed_plainly(
            [page.identity.stock, page.identity.price, *([page.identity.status] if page.identity.status else [])]
        ),
        address=address,
        message=_message(_message_text(record, address, translator), translator),
        answers=tuple(_answers(page, condition, notes_on_rust(record, judged.figures), address, translator)),
        code=qr_code(address),
        picture=f"../{drawing.file}" if drawn else None,
        picture_words=share_image(card, around).words,
        sheets=tuple(
            Link(translator.say(key), page_of(record.stock, around.language_folder).canonical(settings.base_address))
            for key, page_of in _SHEETS.items()
        ),
        to_do=tuple(_groups([(record, left)], translator)),
        walk=filmed_walk(record, page, vocabulary, translator),
        film=film_page(
            record.stock,
            page.identity.name,
            [defect for station in page.defects for defect in station.defects],
            settings.languages,
            translator,
        ),
        film_href=f"../films/{_page_of(record.stock, translator.language)}",
    )
    return view, (drawing.file, drawn) if drawn else None


def _message_text(record: VehicleRecord, address: str, translator: Translator) -> str:
    """Return the longest prepared text that fits one text message, or the shortest if none fits."""
    about = {"vehicle": vehicle_name(record), "stock": record.stock, "address": address}
    texts = [plainly(translator.say(f"desk.message.{length}", **about)) for length in ("long", "short")]
    return next((text for text in texts if message_length(text).parts == 1), texts[-1])


def _answers(
    page: ConditionPage,
    condition: Condition,
    rust: Sequence[LocalizedText],
    address: str,
    translator: Translator,
) -> Iterator[AnswerView]:
    for answer in answers(page, condition, rust, translator):
        where = f"{address}#{answer.anchor}" if answer.anchor else address
        text = f"{plainly(str(answer.said))} {where}"
        yield AnswerView(answer.question, answer.said, where, _message(text, translator))


def _message(text: str, translator: Translator) -> TextMessage:
    """Return a text message with its `sms:` link (RFC 5724). The link names no recipient; the phone asks for one."""
    length = message_length(text)
    return TextMessage(
        text,
        _length_words(length, translator),
        _costly_words(text, length, translator),
        f"sms:?body={quote(text, safe='')}",
    )


def _length_words(length: MessageLength, translator: Translator) -> str:
    return translator.say("desk.length", used=str(length.used), room=str(length.room), parts=str(length.parts))


def _costly_words(text: str, length: MessageLength, translator: Translator) -> str | None:
    if not length.costly:
        return None
    fewer = message_length(without_costly(text)).parts
    return translator.say("desk.costly", letters=" ".join(length.costly), fewer=str(fewer))


def _script_data(translator: Translator) -> Markup:
    """Return the data of the desk's script as JSON: the SMS alphabet and the messages that it shows."""
    script_data = {
        "alphabet": "".join(sorted(ALPHABET)),
        "extension": "".join(sorted(EXTENSION)),
        "length": translator.catalog.form("desk.length"),
        "costly": translator.catalog.form("desk.costly"),
        "copied": translator.say("desk.copied"),
        "not_copied": translator.say("desk.not_copied"),
        "left": translator.catalog.form("desk.film_left"),
        "over": translator.say("desk.film_over"),
    }
    return script_json(script_data)
