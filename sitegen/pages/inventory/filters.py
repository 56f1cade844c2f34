"""The form that filters and sorts the list with scripts: its fields, and the data of its script."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from babel import Locale
from markupsafe import Markup

from sitegen.pages.frame.addresses import Address, vehicle_page
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.script_data import script_json
from sitegen.pages.inventory.card import Listing, VehicleCard, card_at
from sitegen.pages.inventory.lists import FEWEST_TO_CHOOSE_AMONG, MOST_ON_A_PAGE
from sitegen.pages.language.translator import Translator
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.vehicle import Body, Drive, Fuel

TREADS_THIRTY_SECONDS, TREADS_MILLIMETRES = range(3, 11), range(2, 9)
SORTS = ("newest", "price", "miles", "a-year", "year", "tread", "lining", "defects", "upkeep", "in-all")
COUNTED_WORDS = ("fitting", "unknown", "without")
WORDS = ("asked", "wish", "none", "nothing_helps", "not_loaded")
PAGER_WORDS = ("place", "first", "previous", "next", "last")


@dataclass(frozen=True)
class Option:
    """One option of a field."""

    value: str
    words: str


@dataclass(frozen=True)
class Field:
    """One field of the form: a choice among options, or a number with its unit."""

    name: str
    label: str
    options: tuple[Option, ...] = ()
    unit: str | None = None
    step: int = 1


@dataclass(frozen=True)
class FilterForm:
    """The form that filters and sorts a vehicle list: its fields, and the data of its script."""

    identity: tuple[Field, ...]
    figures: tuple[Field, ...]
    sorts: tuple[Option, ...]
    example: VehicleCard
    """A complete card, which the script clones for every vehicle."""
    script_data: Markup


def filter_form(
    listings: Sequence[Listing], row_files: Iterable[str], pictures: Pictures, at: Address, around: Surroundings
) -> FilterForm | None:
    """Return the form, or None if the list has fewer than FEWEST_TO_CHOOSE_AMONG vehicles."""
    if len(listings) < FEWEST_TO_CHOOSE_AMONG:
        return None
    return FilterForm(
        identity=tuple(_choices(listings, around.translator)),
        figures=tuple(_figures(around)),
        sorts=tuple(Option(sort, around.translator.say(f"sort.{sort}")) for sort in SORTS),
        example=_example(listings, pictures, at, around),
        script_data=_script_data(row_files, at, around),
    )


def _choices(listings: Sequence[Listing], translator: Translator) -> Iterable[Field]:
    """Yield the choice fields for which the listed vehicles have at least two different values."""
    vehicles = [item.record.vehicle for item in listings]
    kinds: tuple[tuple[str, type[StrEnum]], ...] = (("body", Body), ("drive", Drive), ("fuel", Fuel))
    offered = {
        name: [
            Option(value.value, translator.choice(name, value))
            for value in kind
            if any(getattr(vehicle, name) is value for vehicle in vehicles)
        ]
        for name, kind in kinds
    }
    offered["make"] = [Option(make, make) for make in sorted({vehicle.make for vehicle in vehicles})]
    offered["location"] = [
        Option(place, place) for place in sorted({item.location or "" for item in listings} - {""})
    ]
    for name in ("body", "make", "drive", "fuel", "location"):
        if len(offered[name]) > 1:
            yield Field(name, translator.say(f"filters.{name}"), tuple(offered[name]))


def _figures(around: Surroundings) -> Iterable[Field]:
    translator = around.translator
    distance = "mi" if translator.formats.distance_in_miles else "km"
    money = translator.formats.currency_symbol
    yield Field("price", translator.say("filters.price"), unit=money, step=500)
    yield Field("miles", translator.say(f"filters.distance_{distance}"), unit=distance, step=1000)
    yield Field("year", translator.say("filters.year"))
    yield Field("tread", translator.say("filters.tread"), tuple(_treads(translator)))
    yield Field("upkeep", translator.say("filters.upkeep"), unit=money, step=100)


def _treads(translator: Translator) -> Iterable[Option]:
    if translator.formats.tread_in_thirty_seconds:
        return (Option(str(depth), f"{depth}/32\u00a0in") for depth in TREADS_THIRTY_SECONDS)
    return (Option(str(depth), f"{depth}\u00a0mm") for depth in TREADS_MILLIMETRES)


def _example(listings: Sequence[Listing], pictures: Pictures, at: Address, around: Surroundings) -> VehicleCard:
    """Return a card with every part that a card may have, so that the script only has to remove parts."""
    item = next((item for item in listings if item.photo), listings[0])
    card = card_at(item, pictures, at, around)
    figures = tuple(replace(figure, note=figure.note or "") for figure in card.figures)
    return replace(
        card,
        status=card.status or "",
        location=card.location or "",
        a_year=card.a_year or "",
        unchecked=card.unchecked or "",
        figures=figures,
    )


def _script_data(row_files: Iterable[str], at: Address, around: Surroundings) -> Markup:
    """Return the data of the form's script as JSON: row files, links, and messages."""
    messages = around.translator.catalog.messages
    words: dict[str, object] = {name: messages[f"filters.{name}"][0] for name in WORDS}
    words |= {name: messages[f"pager.{name}"][0] for name in PAGER_WORDS}
    words |= {name: plural_forms(f"filters.{name}", around.translator) for name in COUNTED_WORDS}
    some_vehicle = at.to(vehicle_page("*", around.language_folder).file)
    script_data = {
        "rows": [at.to(file) for file in row_files],
        "vehicle": some_vehicle.replace("%2A", "*"),
        "pictures": f"{at.to('pictures')}/",
        "locale": around.translator.formats.locale_tag,
        "on_a_page": MOST_ON_A_PAGE,
        "words": words,
    }
    return script_json(script_data)


def plural_forms(key: str, translator: Translator) -> dict[str, str]:
    """Return the plural forms of a message by CLDR category (one, few, many, other)."""
    category = Locale.parse(translator.language, sep="-").plural_form
    forms = translator.catalog.forms(key)
    return {category(count): forms[translator.catalog.plural_form(count)] for count in reversed(range(200))}
