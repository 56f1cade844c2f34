"""The table of all costs of one vehicle: price, fees, title, delivery, work before delivery, and upkeep.

Nothing is ranked or judged. The page is built with nothing ticked; its script adds what a reader ticks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from markupsafe import Markup

from sitegen.condition.basis.findings import Condition
from sitegen.condition.basis.forecast import Offer
from sitegen.pages.frame.script_data import script_json
from sitegen.pages.language.translator import Text, Translator
from sitegen.pages.vehicle.defects.defects import StationDefects
from sitegen.records.quantities import METRES_PER_MILE
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord

CARRIED_WORDS = ("brief", "message_work", "message_delivery", "message_price", "announced", "done_first")


@dataclass(frozen=True)
class BuyingTotals:
    """The totals of one vehicle with nothing ticked, in hundredths of the currency."""

    purchase: int
    """Price, fees, title and registration."""
    with_first_year: int | None
    """The purchase, and the figure to plan with for the first year's upkeep. None if nothing has a price."""
    with_three_years: int | None


@dataclass(frozen=True)
class CostRow:
    """A row of the table of costs."""

    key: str
    name: Text
    amount: str
    is_total: bool = False
    is_hidden: bool = False
    """Whether it is hidden until a reader ticks or chooses something."""


@dataclass(frozen=True)
class OfferView:
    """Work on offer that a reader may tick, so that its price is added to the total."""

    key: str
    """Its name in the page's address."""
    words: Text
    price: str
    lines: str
    """Keys of the outlook lines that it answers, separated by spaces."""


@dataclass(frozen=True)
class DeliveryOption:
    """A choice of delivery; the first is none."""

    value: str
    words: str


@dataclass(frozen=True)
class CostsView:
    """The view of the table of costs: its rows, work that a reader may tick, and deliveries to choose from."""

    brief: str
    rows: tuple[CostRow, ...]
    offers: tuple[OfferView, ...]
    delivery: tuple[DeliveryOption, ...]
    notes: tuple[Text, ...]
    carried: Markup


def buying_totals(record: VehicleRecord, condition: Condition, settings: SiteSettings) -> BuyingTotals | None:
    """Return the totals; None for a vehicle that has no price or is sold."""
    if record.price is None or record.status is Status.SOLD:
        return None
    costs, outlook = settings.costs, condition.outlook
    purchase = sum((fee.amount for fee in costs.fees), record.price) + (costs.title_and_registration or 0)
    cents = _cents(Decimal(purchase))
    if not any(line.facts.cost for line in condition.lines):
        return BuyingTotals(cents, None, None)
    return BuyingTotals(cents, cents + outlook.first_year.total.about, cents + outlook.whole.total.about)


def costs_view(
    record: VehicleRecord,
    condition: Condition,
    stations: tuple[StationDefects, ...],
    settings: SiteSettings,
    translator: Translator,
) -> CostsView | None:
    """Return the view of all costs of buying a vehicle. None for a vehicle that has no price or is sold."""
    totals = buying_totals(record, condition, settings)
    if totals is None or record.price is None:
        return None
    rows = tuple(_rows(record.price, totals, settings, translator))
    offers = tuple(_offer(offer, stations, translator) for offer in condition.offers)
    return CostsView(
        brief=_brief(totals, translator),
        rows=rows,
        offers=offers,
        delivery=tuple(_delivery(settings, translator)),
        notes=tuple(_notes(settings, totals, translator)),
        carried=script_json(_carried(record, condition, offers, totals, settings, translator)),
    )


def _rows(price: Decimal, totals: BuyingTotals, settings: SiteSettings, translator: Translator) -> Iterator[CostRow]:
    def row(key: str, cents: int, *, total: bool = False, hidden: bool = False, is_about: bool = False) -> CostRow:
        amount = _about(cents, translator) if is_about else _money(cents, translator)
        return CostRow(key, translator.tell(f"costs.{key}"), amount, total, hidden)

    yield row("price", _cents(price))
    for fee in settings.costs.fees:
        yield CostRow("fee", translator.text(fee.what), _money(_cents(fee.amount), translator))
    if settings.costs.title_and_registration is not None:
        yield row("title", _cents(settings.costs.title_and_registration))
    yield row("work", 0, hidden=True)
    yield row("delivery", 0, hidden=True)
    yield row("purchase", totals.purchase, total=True)
    if totals.with_first_year is not None and totals.with_three_years is not None:
        yield row("first", totals.with_first_year - totals.purchase, is_about=True)
        yield row("first_total", totals.with_first_year, total=True, is_about=True)
        yield row("three", totals.with_three_years - totals.purchase, is_about=True)
        yield row("three_total", totals.with_three_years, total=True, is_about=True)


def _brief(totals: BuyingTotals, translator: Translator) -> str:
    if totals.with_first_year is None:
        return translator.say("costs.brief_purchase", total=_money(totals.purchase, translator))
    return translator.say("costs.brief", total=_about(totals.with_first_year, translator))


def _offer(offer: Offer, stations: tuple[StationDefects, ...], translator: Translator) -> OfferView:
    price = _money(offer.cents, translator)
    lines = " ".join(offer.lines)
    if not offer.is_defect:
        words = translator.tell(f"item.{offer.about}")
        return OfferView(offer.about, words, price, lines)
    view = next(each for station in stations for each in station.defects if each.anchor == offer.about)
    words = translator.tell("costs.offer_defect", number=view.number, kind=view.kind.lower(), part=view.part)
    return OfferView(offer.about, words, price, lines)


def _delivery(settings: SiteSettings, translator: Translator) -> Iterator[DeliveryOption]:
    if settings.costs.delivery:
        yield DeliveryOption("", translator.say("costs.pick_up"))
    for step in settings.costs.delivery:
        distance, amount = translator.formats.distance(step.up_to), _money(_cents(step.amount), translator)
        words = translator.say("costs.delivery_up_to", distance=distance, amount=amount)
        yield DeliveryOption(_value(step.up_to.metres), words)


def _notes(settings: SiteSettings, totals: BuyingTotals, translator: Translator) -> Iterator[Text]:
    costs = settings.costs
    if not costs.fees:
        yield translator.tell("costs.fees_not_listed")
    if costs.title_and_registration is None:
        yield translator.tell("costs.title_not_listed")
    if costs.state_decides is not None:
        yield translator.tell("costs.state", what=translator.text(costs.state_decides))
    if totals.with_first_year is not None:
        yield translator.tell("costs.upkeep")


def _carried(
    record: VehicleRecord,
    condition: Condition,
    offers: tuple[OfferView, ...],
    totals: BuyingTotals,
    settings: SiteSettings,
    translator: Translator,
) -> dict[str, Any]:
    """Return the data of the page's script: amounts in hundredths of the currency, and messages."""
    say = translator.catalog.messages
    costs = settings.costs
    return {
        "stock": record.stock,
        "base": totals.purchase,
        "upkeep": None
        if totals.with_first_year is None or totals.with_three_years is None
        else [totals.with_first_year - totals.purchase, totals.with_three_years - totals.purchase],
        "offers": {
            view.key: {"cents": offer.cents, "lines": list(offer.lines), "words": view.words.text}
            for view, offer in zip(offers, condition.offers, strict=True)
        },
        "delivery": {_value(step.up_to.metres): _cents(step.amount) for step in costs.delivery},
        "currency": translator.formats.currency,
        "locale": translator.formats.locale_tag,
        "about": say["outlook.about"][0],
        "list": {"comma": say["list.comma"][0], "last": say["list.last"][0]},
        "words": {name: say[f"costs.{name}"][0] for name in CARRIED_WORDS},
    }


def _value(metres: Any) -> str:
    """Return a distance in metres as the page's address writes it: in whole miles."""
    return str(round(metres / METRES_PER_MILE))


def _cents(amount: Decimal) -> int:
    return int(amount * 100)


def _money(cents: int, translator: Translator) -> str:
    return translator.formats.money(Decimal(cents) / 100)


def _about(cents: int, translator: Translator) -> str:
    return translator.say("outlook.about", about=_money(cents, translator))
