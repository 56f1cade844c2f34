"""The store's price list: what each service costs, for every vehicle or for some only."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Self

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, model_validator
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import core_schema

from sitegen.records.base import LocalizedText, Record, input_error
from sitegen.records.everyday import AMOUNT_PATTERN, read_amount
from sitegen.records.vehicle import Drive, Fuel
from sitegen.records.wheels.tires import TireKind

_AMOUNT = AMOUNT_PATTERN.removeprefix("^").removesuffix("$")
_PRICE_RANGE = rf"(?P<low>{_AMOUNT})(\s*([-–]|\bto\b)\s*(?P<high>{_AMOUNT}))?(?P<memory>\s+from memory)?"


@dataclass(frozen=True)
class PriceRange:
    """The price of a service at this store, from low to high, in the store's currency."""

    low: Decimal
    high: Decimal
    from_memory: bool = False
    """Marked `from memory`: not this store's own price yet, so that it counts as no price."""

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Return a schema that parses `65-95`, `$1,200 to $1,500` or one amount."""
        expected = "a price range (65-95), or one price (80)"

        def read(value: Any) -> PriceRange:
            if isinstance(value, PriceRange):
                return value
            match = re.fullmatch(_PRICE_RANGE, str(value).strip())
            if match is None:
                mend = "write two whole amounts with a hyphen between, or one"
                raise input_error(expected, mend)
            low, high = (read_amount(amount) for amount in (match["low"], match["high"] or match["low"]))
            if high < low:
                mend = f"write the lower amount first: {high}-{low}"
                raise input_error(expected, mend)
            return cls(low, high, match["memory"] is not None)

        return core_schema.no_info_plain_validator_function(
            read,
            serialization=core_schema.plain_serializer_function_ser_schema(
                lambda price: f"{price.low}-{price.high}{' from memory' if price.from_memory else ''}"
            ),
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Return the JSON Schema of the written form."""
        pattern = re.sub(r"\?P<\w+>", "", _PRICE_RANGE)  # JSON Schema patterns have no named groups
        return {
            "anyOf": [
                {"type": "number"},
                {"type": "string", "pattern": f"^{pattern}$", "description": "a price range (65-95 or $65 to $95)"},
            ]
        }


class PriceFor(Record):
    """A price that holds for some vehicles only. Of those that fit, the one with the most conditions is used."""

    service: str
    """Key of the service. `sitegen help services` lists the keys."""
    name: LocalizedText
    """What the price is for, as the page names it: Tires for 18-inch wheels and larger."""
    price: PriceRange | None = None
    """Parts and labor together. Leave it out if `hours` is given."""
    hours: PriceRange | None = None
    """Hours of labor, from low to high: 1.2-1.8. They cost the `labor_rate` of the price list each."""
    parts: PriceRange | None = None
    """Price of the parts beside the labor."""
    drives: tuple[Drive, ...] | None = None
    """Drives that it is for."""
    fuels: tuple[Fuel, ...] | None = None
    """Fuels that it is for."""
    gross_weight_from: int | None = None
    """Least gross vehicle weight rating in pounds."""
    gross_weight_to: int | None = None
    """Largest gross vehicle weight rating in pounds."""
    axle_weight_from: int | None = None
    """Least gross axle weight rating in pounds: of the axle that is worked on, or of the heavier one."""
    axle_weight_to: int | None = None
    """Largest gross axle weight rating in pounds."""
    liters_from: Decimal | None = None
    """Least engine size in liters, of a vehicle whose record states `liters`."""
    liters_to: Decimal | None = None
    """Largest engine size in liters."""
    cylinders: tuple[int, ...] | None = None
    """Numbers of cylinders that it is for."""
    rim_from: int | None = None
    """Least diameter of the wheels in inches, as in the tire size."""
    rim_to: int | None = None
    """Largest diameter of the wheels in inches."""
    load_ranges: tuple[str, ...] | None = None
    """Load ranges of the tires: C, D, E."""
    tire_kinds: tuple[TireKind, ...] | None = None
    """Kinds of tires that it is for."""

    @model_validator(mode="after")
    def _has_a_price(self) -> Self:
        if (self.price is None) == (self.hours is None):
            raise input_error("either `price` or `hours`", "write one of the two")
        return self


class PriceList(Record):
    """Contents of `services.yaml`: this store's prices by service."""

    prices: dict[str, PriceRange]
    """Price or price range of each service, parts and labor. `sitegen help services` lists the keys."""
    for_some: tuple[PriceFor, ...] = ()
    """Prices that hold for some vehicles only, such as tires for larger wheels."""
    labor_rate: PriceRange | None = None
    """Price of an hour of labor."""
    as_of: LocalizedText | None = None
    """When these prices were last reviewed, in words."""
