"""A vehicle's identity and its sale: identity, odometer, title, recalls, sale terms, wheels and axles."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Discriminator, Field, StringConstraints, Tag, WithJsonSchema

from sitegen.records.base import AnyOf, LocalizedText, Record, Shape, Slug, input_error
from sitegen.records.everyday import AMOUNT_PATTERN, read_amount
from sitegen.records.quantities import Distance, Energy

Name = Annotated[str, StringConstraints(min_length=1, max_length=80, strip_whitespace=True)]
Vin = Annotated[
    str,
    Shape(
        "[A-HJ-NPR-Z0-9]{5,17}",
        "17 capital letters and digits, without I, O and Q (before 1981 there may be fewer, down to 5)",
        "read it again from the dash or the title: 1 is not I, 0 is not O",
    ),
]
Price = Annotated[
    Decimal,
    BeforeValidator(read_amount),
    Field(gt=0, max_digits=9, decimal_places=2),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "number", "exclusiveMinimum": 0},
                {"type": "string", "pattern": AMOUNT_PATTERN, "description": "an amount (13450 or $13,450)"},
            ]
        }
    ),
]


class Status(StrEnum):
    """Status of the vehicle at the store."""

    PREPARING = "preparing"
    FOR_SALE = "for sale"
    ON_HOLD = "on hold"
    SOLD = "sold"


class Body(StrEnum):
    """Body style."""

    HATCHBACK = "hatchback"
    SEDAN = "sedan"
    WAGON = "wagon"
    SUV = "suv"
    MINIVAN = "minivan"
    CARGO_VAN = "cargo van"
    PICKUP = "pickup"
    COUPE = "coupe"
    CONVERTIBLE = "convertible"


class Drive(StrEnum):
    """Driven wheels."""

    FRONT = "fwd"
    REAR = "rwd"
    ALL = "awd"
    FOUR = "4wd"


class Fuel(StrEnum):
    """Fuel or energy source."""

    GASOLINE = "gasoline"
    DIESEL = "diesel"
    HYBRID = "hybrid"
    PLUG_IN_HYBRID = "plug-in hybrid"
    ELECTRIC = "electric"
    FLEX = "flex fuel"
    NATURAL_GAS = "natural gas"
    HYDROGEN = "hydrogen"


def _parse_fuel(written: Any) -> Any:
    return Fuel.GASOLINE.value if str(written).casefold() == "gas" else written


FuelWritten = Annotated[Fuel, BeforeValidator(_parse_fuel, json_schema_input_type=Fuel | Literal["gas"])]
"""A fuel. `gas` is accepted for gasoline; natural gas must be written out."""


class Transmission(StrEnum):
    """Kind of transmission."""

    AUTOMATIC = "automatic"
    CONTINUOUSLY_VARIABLE = "continuously variable"
    DUAL_CLUTCH = "dual clutch"
    MANUAL = "manual"
    SINGLE_SPEED = "single speed"


class Timing(StrEnum):
    """Camshaft drive. A belt has a replacement interval, a chain has none."""

    BELT = "belt"
    CHAIN = "chain"


class Vehicle(Record):
    """Identity and build of the vehicle."""

    year: Annotated[int, Field(ge=1900, le=2100)]
    """Model year."""
    make: Name
    """Make, as the maker writes it."""
    model: Name
    """Model, as the maker calls it."""
    trim: Name | None = None
    """Trim level or version."""
    body: Body
    drive: Drive
    fuel: FuelWritten
    """Fuel or energy source. `gas` is gasoline."""
    transmission: Transmission | None = None
    engine: LocalizedText | None = None
    """Engine or motor in a few words, such as 2.0-liter four-cylinder."""
    liters: Annotated[Decimal, Field(gt=0, le=20)] | None = None
    """Engine size in liters: 2.0. A price may depend on it."""
    cylinders: Annotated[int, Field(gt=0, le=16)] | None = None
    """Number of cylinders. A price may depend on it."""
    timing: Timing | None = None
    doors: Annotated[int, Field(ge=1, le=7)] | None = None
    """Number of doors, the rear door or hatch included."""
    seats: Annotated[int, Field(ge=1, le=20)] | None = None
    """Number of seats."""
    color: LocalizedText | None = None
    """Color of the body."""
    interior: LocalizedText | None = None
    """Color and material of the interior."""
    battery_energy: Energy | None = None
    """Energy of the traction battery when new, as stated by the maker."""
    gross_weight_pounds: Annotated[int, Field(gt=0, le=80_000)] | None = None
    """Gross vehicle weight rating (GVWR) in pounds, from the door label."""
    front_axle_pounds: Annotated[int, Field(gt=0, le=40_000)] | None = None
    """Gross axle weight rating (GAWR) of the front axle in pounds, from the door label. A price may depend on it."""
    rear_axle_pounds: Annotated[int, Field(gt=0, le=40_000)] | None = None
    """Gross axle weight rating (GAWR) of the rear axle in pounds. A price may depend on it."""


class OdometerStatement(StrEnum):
    """The seller's statement about the odometer (49 CFR 580.5(e))."""

    ACTUAL = "actual"
    EXCEEDS_MECHANICAL_LIMITS = "exceeds mechanical limits"
    NOT_ACTUAL = "not actual"
    EXEMPT = "exempt"
    NOT_STATED = "not stated"


class Odometer(Record):
    """The odometer reading and its day. A `reading` that is left out is shown as not noted.

    If the odometer does not work or is doubtful, write its reading with `statement: not actual` (49 CFR 580.5(e)(3)).
    """

    reading: Distance | None = None
    """Reading on that day."""
    read_on: date
    """Day of the reading. The outlook counts from it."""
    statement: OdometerStatement = OdometerStatement.NOT_STATED


class EarlierReading(Record):
    """An odometer reading from a document: a service bill, an inspection report, the title."""

    id: Slug | None = None
    """Name by which a visit can change it or take it back."""
    reading: Distance
    """Reading in the document."""
    read_on: date
    """Day of the reading."""
    source: LocalizedText
    """The document, such as a service bill."""


class NoBrand(StrEnum):
    """The store looked at the title, and it shows no brand."""

    NONE = "none"


def _kind_of_brand(written: Any) -> str:
    words = written.values() if isinstance(written, dict) else ()
    if any(str(word).strip().casefold() == NoBrand.NONE for word in words):
        raise input_error(
            "the brand on the title, or none", "write `brand: none` by itself: it is said in every language"
        )
    return "no brand" if str(written).strip().casefold() == NoBrand.NONE else "a brand"


class Title(Record):
    """The brand on the title, word for word, and the day the store looked. `none` means that it shows no brand."""

    brand: Annotated[
        Annotated[NoBrand, BeforeValidator(lambda written: str(written).strip().casefold()), Tag("no brand")]
        | Annotated[LocalizedText, Tag("a brand")],
        Discriminator(_kind_of_brand),
        AnyOf(),
    ]
    """Brand on the title, word for word, or `none` if the title shows none."""
    checked_on: date
    """Day on which the store looked at the title."""
    state: LocalizedText | None = None
    """Place where the title was issued."""


class Recall(Record):
    """One open recall."""

    what: LocalizedText
    """What the recall is about."""
    reference: Name | None = None
    """Number of the recall."""
    remedy: LocalizedText | None = None
    """What the maker does about it."""


class Recalls(Record):
    """Open recalls found by VIN on a given day."""

    checked_on: date
    """Day on which the VIN was looked up."""
    open: tuple[Recall, ...] = ()


class PlainTerms(StrEnum):
    """Terms of the Used Car Rule's window form that need no further text (16 CFR 455.2(b))."""

    AS_IS = "as is"
    IMPLIED_WARRANTIES_ONLY = "implied warranties only"


class OtherCoverage(StrEnum):
    """Boxes of the window form that may be checked besides the dealer's terms (16 CFR 455, form of 2016)."""

    MANUFACTURER_WARRANTY = "manufacturer warranty"
    MANUFACTURER_USED_VEHICLE_WARRANTY = "manufacturer used vehicle warranty"
    OTHER_USED_VEHICLE_WARRANTY = "other used vehicle warranty"
    SERVICE_CONTRACT = "service contract"


class WarrantyKind(StrEnum):
    """Whether a warranty is full or limited (15 USC 2303)."""

    FULL = "full"
    LIMITED = "limited"


class WarrantyTerms(Record):
    """A warranty given by the store, in the store's words."""

    warranty: LocalizedText
    """What is covered, for how long, and who pays."""
    kind: WarrantyKind | None = None
    """Whether the warranty is full or limited, as on the window form."""


SingleTerm = PlainTerms | OtherCoverage | WarrantyTerms


def _kind_of_term(written: Any) -> str:
    if isinstance(written, dict | WarrantyTerms):
        return "a warranty"
    return "other coverage" if str(written) in set(OtherCoverage) else "plain terms"


def _one_base(terms: tuple[SingleTerm, ...]) -> tuple[SingleTerm, ...]:
    """Refuse a list without exactly one of: as is, implied warranties only, a warranty of the store."""
    base = [term for term in terms if not isinstance(term, OtherCoverage)]
    if len(base) != 1 or len({str(term) for term in terms}) < len(terms):
        raise input_error(
            "exactly one of as is, implied warranties only and warranty, and each other line once",
            "keep the one that the window form has, and delete the others",
        )
    return terms


_Term = Annotated[
    Annotated[PlainTerms, Tag("plain terms")]
    | Annotated[OtherCoverage, Tag("other coverage")]
    | Annotated[WarrantyTerms, Tag("a warranty")],
    Discriminator(_kind_of_term),
]


def _kind_of_terms(written: Any) -> str:
    if isinstance(written, list | tuple):
        return "several terms"
    return "a warranty" if isinstance(written, dict | WarrantyTerms) else "plain terms"


SaleTerms = Annotated[
    Annotated[PlainTerms, Tag("plain terms")]
    | Annotated[WarrantyTerms, Tag("a warranty")]
    | Annotated[tuple[_Term, ...], AfterValidator(_one_base), Tag("several terms")],
    Discriminator(_kind_of_terms),
]


def listed_terms(terms: SaleTerms) -> tuple[SingleTerm, ...]:
    """Return the terms of sale as a list, the dealer's own first."""
    listed = terms if isinstance(terms, tuple) else (terms,)
    return tuple(sorted(listed, key=lambda term: isinstance(term, OtherCoverage)))


# Wheels and axles


class Wheel(StrEnum):
    """A wheel, as a key of `tires` and `brakes`. Left is the left side of a driver who faces forward."""

    LEFT_FRONT = "left_front"
    RIGHT_FRONT = "right_front"
    LEFT_REAR = "left_rear"
    RIGHT_REAR = "right_rear"
    LEFT_REAR_INNER = "left_rear_inner"
    RIGHT_REAR_INNER = "right_rear_inner"
    SPARE = "spare"

    @property
    def outer(self) -> Wheel:
        """The wheel that carries the brake: of two rear wheels on one side, the outer one."""
        return Wheel(self.value.removesuffix("_inner"))

    @property
    def is_inner(self) -> bool:
        """Whether it is the inner one of two rear wheels on one side."""
        return self is not self.outer


class Axle(StrEnum):
    """An axle of a car or light truck."""

    FRONT = "front"
    REAR = "rear"


AXLES = {
    Axle.FRONT: (Wheel.LEFT_FRONT, Wheel.RIGHT_FRONT),
    Axle.REAR: (Wheel.LEFT_REAR, Wheel.RIGHT_REAR),
}
"""Wheels of each axle, left before right."""
REAR_OF_SIX = (Wheel.LEFT_REAR, Wheel.LEFT_REAR_INNER, Wheel.RIGHT_REAR_INNER, Wheel.RIGHT_REAR)
"""Wheels of a rear axle with two wheels on each side, from left to right."""
ON_THE_GROUND = tuple(wheel for pair in AXLES.values() for wheel in pair)


def axle_of(wheel: Wheel) -> Axle:
    """Return the axle of a wheel; the rear one for the spare."""
    return Axle.FRONT if wheel in AXLES[Axle.FRONT] else Axle.REAR


class AtWheel(StrEnum):
    """A wheel on the ground as the place of a defect, written in words like the stations."""

    LEFT_FRONT = "left front"
    RIGHT_FRONT = "right front"
    LEFT_REAR = "left rear"
    RIGHT_REAR = "right rear"
