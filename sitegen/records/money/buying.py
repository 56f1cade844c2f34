"""The costs of buying besides the price: fees, title and registration, delivery, and work on offer."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, Field, WithJsonSchema

from sitegen.records.base import LocalizedText, Record, input_error
from sitegen.records.everyday import AMOUNT_PATTERN, read_amount
from sitegen.records.quantities import Distance
from sitegen.records.vehicle import Price

Amount = Annotated[
    Decimal,
    BeforeValidator(read_amount),
    Field(ge=0, max_digits=9, decimal_places=2),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "number", "minimum": 0},
                {"type": "string", "pattern": AMOUNT_PATTERN, "description": "an amount (185 or $185)"},
            ]
        }
    ),
]
"""Money in the store's currency; nothing (0) is an amount too."""


class Fee(Record):
    """A fee that the store charges every buyer."""

    what: LocalizedText
    """Name of the fee, as the bill has it."""
    amount: Amount
    """What it costs every buyer, in the store's currency."""


class DeliveryPrice(Record):
    """The price of delivery up to a distance."""

    up_to: Distance
    """Largest distance from the store."""
    amount: Amount
    """What delivery costs; 0 if it is free."""


def _farther(steps: tuple[DeliveryPrice, ...]) -> tuple[DeliveryPrice, ...]:
    if any(near.up_to >= far.up_to for near, far in pairwise(steps)):
        raise input_error("distances that rise (50 mi, 150 mi, 300 mi)", "write the nearest first, and each once")
    return steps


class BuyingCosts(Record):
    """Costs that a buyer pays besides the price."""

    fees: tuple[Fee, ...] = ()
    """Fees of the store."""
    title_and_registration: Amount | None = None
    """What the store collects for title and registration."""
    state_decides: LocalizedText | None = None
    """What the state decides and the page therefore names but does not compute, such as sales tax."""
    delivery: Annotated[tuple[DeliveryPrice, ...], AfterValidator(_farther)] = ()
    """Prices of delivery by distance, if the store delivers."""


class LineOffer(Record):
    """An offer of the store about one line of the outlook."""

    quote: Price
    """Price at which the store does this work before delivery, if the buyer wants it."""
