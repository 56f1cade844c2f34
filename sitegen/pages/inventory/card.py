"""The card of one vehicle in a list: name, price, measured figures, counted defects and first-year upkeep."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.condition.basis.findings import Condition
from sitegen.condition.standing.surfaces import Surface
from sitegen.pages.frame.addresses import Address, vehicle_page
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.inventory.figures import InventoryFigures, inventory_figures
from sitegen.pages.language.translator import Translator
from sitegen.pages.vehicle.defects.pictures import PictureView, Slot, picture_view
from sitegen.pages.vehicle.defects.standing import (
    count_by_effect,
    count_put_right,
    damage_words,
    standing_lines,
)
from sitegen.pages.vehicle.disclosure import papers_in_brief, unchecked_points
from sitegen.pages.vehicle.identity import distance_words, identity, price_words
from sitegen.pages.vehicle.summary import KeyFigure, distance_a_year, lowest_tread, thinnest_lining
from sitegen.pages.vehicle.upkeep import plan_view, without_in_brief
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.disclosure import Affects, Photo
from sitegen.records.reference import Vocabulary
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class CardTexts:
    """The texts of a card."""

    stock: str
    name: str
    kind: str
    price: str
    distance: str
    a_year: str | None
    status: str | None
    location: str | None
    figures: tuple[KeyFigure, ...]
    defects: str
    papers: str
    """Title brand, open recalls and odometer statement."""
    unchecked: str | None


@dataclass(frozen=True)
class VehicleCard(CardTexts):
    """A card with its link and picture, as the page that holds the card shows it."""

    href: str
    picture: PictureView | None


@dataclass(frozen=True)
class ListingFacts:
    """The computed values of a vehicle for lists in one language: figures, and a card without link and picture."""

    figures: InventoryFigures
    unchecked: tuple[str, ...]
    """The names of important points that were not checked."""
    location: str | None
    """The location within a group; None for a store with one."""
    card: CardTexts
    damages: tuple[str, ...]
    """The damage that is not repaired, as for schema.org's `knownVehicleDamages`."""
    put_right: int


@dataclass(frozen=True)
class Listing(ListingFacts):
    """A vehicle as lists use it: its record and its computed values."""

    record: VehicleRecord

    @property
    def photo(self) -> Photo | None:
        """The vehicle's first photo. None if it has none."""
        return self.record.photos[0] if self.record.photos else None


def listing_facts(
    record: VehicleRecord, condition: Condition, vocabulary: Vocabulary, around: Surroundings
) -> ListingFacts:
    """Return the computed values of a vehicle for lists."""
    translator = around.translator
    location = record.location if around.settings.locations else None
    head = identity(record, translator)
    figures = inventory_figures(record, condition, around.settings, translator.formats)
    unchecked = unchecked_points(record, vocabulary, translator, important=True)
    card = CardTexts(
        stock=record.stock,
        name=head.name,
        kind=head.kind,
        price=price_words(record, translator),
        distance=distance_words(record, translator),
        a_year=distance_a_year(condition, translator),
        status=head.status,
        location=translator.say("inventory.at_location", location=location) if location else None,
        figures=(
            lowest_tread(condition, translator),
            thinnest_lining(condition, translator),
            _upkeep(condition, translator),
        ),
        defects=standing_words(record, condition, vocabulary, translator),
        papers=papers_in_brief(record, condition, translator).text,
        unchecked=translator.say("inventory.unchecked", points=translator.listed(unchecked)) if unchecked else None,
    )
    damages, put_right = damage_words(condition, translator), count_put_right(record, condition)
    return ListingFacts(figures, unchecked, location, card, damages, put_right)


def listing(record: VehicleRecord, facts: ListingFacts) -> Listing:
    """Return a vehicle as lists use it: its record with its computed values."""
    return Listing(**vars(facts), record=record)


def card_at(item: Listing, pictures: Pictures, at: Address, around: Surroundings) -> VehicleCard:
    """Return the card with its links and picture for the page at an address."""
    photo, stock = item.photo, item.record.stock
    return VehicleCard(
        **vars(item.card),
        href=at.to(vehicle_page(stock, around.language_folder).file),
        picture=picture_view(pictures, stock, photo, at, around.translator, Slot.CARD) if photo else None,
    )


def standing_words(
    record: VehicleRecord, condition: Condition, vocabulary: Vocabulary, translator: Translator
) -> str:
    """Return the card's line of standing facts, the worst first, with cosmetic and repaired defects counted."""
    lines = standing_lines(record, condition, vocabulary, Surface.CARD, translator)
    sentences = [str(line.words) for line in lines]
    looks = count_by_effect(condition)[Affects.LOOKS]
    if looks and not any(line.words == translator.tell_count("summary.worst.looks", looks) for line in lines):
        sentences.append(f"{translator.count('defects.count.looks', looks)}.")
    put_right = count_put_right(record, condition)
    if put_right:
        sentences.append(translator.count("inventory.put_right", put_right))
    return " ".join(sentences)


def _upkeep(condition: Condition, translator: Translator) -> KeyFigure:
    """Return the first-year upkeep as a key figure.

    It has the figure to plan with, the cost of items without a record, the range of both, and the items without a
    price.
    """
    name = translator.say("inventory.upkeep")
    plan = plan_view(condition, translator)
    if plan is None:
        return KeyFigure(name, translator.say("inventory.upkeep_not_priced"), None)
    due, no_record, total = plan.sums
    without = without_in_brief(condition.outlook.named, translator)
    if condition.outlook.no_record.high:
        note = translator.say("inventory.upkeep_note", no_record=no_record.about, likely=total.likely or total.about)
    else:
        note = total.likely or ""
    return KeyFigure(name, due.about, "; ".join(words for words in (note, without) if words) or None)
