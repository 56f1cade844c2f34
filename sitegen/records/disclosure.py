"""Disclosures about a vehicle: photos and marks, defects, check results, work, promises, additions, history."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from enum import StrEnum
from typing import Annotated, Any, Self

from pydantic import (
    AfterValidator,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    StringConstraints,
    Tag,
    model_validator,
)

from sitegen.records.base import AnyOf, LocalizedText, Note, Record, Slug, input_error
from sitegen.records.quantities import AreaShare, Distance, Length
from sitegen.records.standing.answers import Repair
from sitegen.records.vehicle import AtWheel, Price, Wheel


def _inside_photo(place: float) -> float:
    if not 0 <= place <= 1:
        raise input_error(
            "a place in the photo, from 0 (its left or top edge) to 1 (its right or bottom edge)",
            "divide the distance from that edge by the photo's width or height",
        )
    return place


_COORDINATE = "Coordinate in the upright photo: 0 is its left or top edge, 1 its right or bottom edge."
Fraction01 = Annotated[
    float,
    AfterValidator(_inside_photo),
    Field(description=_COORDINATE, json_schema_extra={"minimum": 0, "maximum": 1}),
]
PhotoFile = Annotated[str, StringConstraints(min_length=1, max_length=200)]


class Station(StrEnum):
    """A station of the walk-around, in walking order: around the body from the front, then inside, then under it."""

    FRONT = "front"
    LEFT_FRONT = "left front"
    LEFT_SIDE = "left side"
    LEFT_REAR = "left rear"
    REAR = "rear"
    RIGHT_REAR = "right rear"
    RIGHT_SIDE = "right side"
    RIGHT_FRONT = "right front"
    ROOF_AND_GLASS = "roof and glass"
    WHEELS = "wheels"
    CABIN = "cabin"
    LOAD_SPACE = "load space"
    ENGINE_BAY = "engine bay"
    UNDERSIDE = "underside"


WALK_ORDER: dict[Station, int] = {station: place for place, station in enumerate(Station)}


class Circle(Record):
    """A circle around a flaw. `r` is a fraction of the photo's width."""

    x: Fraction01
    y: Fraction01
    r: Annotated[float, Field(gt=0, le=0.6)]
    """Radius, as a fraction of the photo's width."""


class Box(Record):
    """A rectangle: left, top, width and height, as fractions of the photo's width and height."""

    x: Fraction01
    y: Fraction01
    w: Annotated[float, Field(gt=0, le=1)]
    """Width, as a fraction of the photo's width."""
    h: Annotated[float, Field(gt=0, le=1)]
    """Height, as a fraction of the photo's height."""


class Arrow(Record):
    """An arrow whose head is at `x`, `y` and whose tail is at `from_x`, `from_y`."""

    x: Fraction01
    y: Fraction01
    from_x: Fraction01
    from_y: Fraction01


def _kind_of_mark(written: Any) -> str:
    keys = set(written if isinstance(written, dict) else getattr(type(written), "model_fields", ()))
    return "a box" if keys & {"w", "h"} else "an arrow" if keys & {"from_x", "from_y"} else "a circle"


# The keys select one kind of mark before validation, so that a mistake is reported once and not for each kind.
Mark = Annotated[
    Annotated[Circle, Tag("a circle")] | Annotated[Box, Tag("a box")] | Annotated[Arrow, Tag("an arrow")],
    Discriminator(_kind_of_mark),
]


class Photo(Record):
    """A photo in the vehicle's `photos` folder, with a text alternative."""

    file: PhotoFile
    """Name of the file in `photos/`."""
    shows: LocalizedText
    """What the photo shows, for people who cannot see it."""
    cover: tuple[Box, ...] = ()
    """Regions to obscure permanently, such as faces and other vehicles' plates."""


class PhotoPlace(Record):
    """A point in the upright photo."""

    x: Fraction01
    y: Fraction01


def is_convex(corners: Sequence[tuple[float, float]]) -> bool:
    """Return whether the corners, in order, form a convex polygon: every turn goes the same way, no sides cross."""
    turns = []
    for place, (x, y) in enumerate(corners):
        (before_x, before_y), (after_x, after_y) = corners[place - 1], corners[(place + 1) % len(corners)]
        turns.append((x - before_x) * (after_y - y) - (y - before_y) * (after_x - x))
    return all(turn > 0 for turn in turns) or all(turn < 0 for turn in turns)


def _round_a_card(corners: tuple[PhotoPlace, ...]) -> tuple[PhotoPlace, ...]:
    if len(corners) != 4 or not is_convex([(corner.x, corner.y) for corner in corners]):
        raise input_error(
            "the four corners of the card, each {x: ..., y: ...}, in order round it, a long side first",
            "begin at one end of a long side, go along it, and on round the card without crossing over",
        )
    return corners


def _two_ends(ends: tuple[PhotoPlace, ...]) -> tuple[PhotoPlace, ...]:
    if len(ends) != 2 or ends[0] == ends[1]:
        raise input_error(
            "the two ends of what is measured, each {x: ..., y: ...}", "write two places, one for each end"
        )
    return ends


Corners = Annotated[
    tuple[PhotoPlace, ...], AfterValidator(_round_a_card), Field(json_schema_extra={"minItems": 4, "maxItems": 4})
]
Ends = Annotated[
    tuple[PhotoPlace, ...], AfterValidator(_two_ends), Field(json_schema_extra={"minItems": 2, "maxItems": 2})
]


class DefectPhoto(Photo):
    """A photo of a defect, with an optional mark, and an optional bank-card-size card as the measure of its size."""

    model_config = ConfigDict(json_schema_extra={"dependentRequired": {"card": ["span"], "span": ["card"]}})

    mark: Mark | None = None
    """Where the defect is in the photo: a circle, a box or an arrow."""
    card: Corners | None = None
    """Corners of a card of ISO/IEC 7810 ID-1 size (85.60 x 53.98 mm), in order around it, a long side first."""
    span: Ends | None = None
    """Both ends of the flaw: the size is the straight distance between them, measured by the card."""

    @model_validator(mode="after")
    def _card_and_span(self) -> Self:
        if (self.card is None) is not (self.span is None):
            here, lacking = ("span", "card") if self.card is None else ("card", "span")
            raise input_error(
                f"card and span together, for {here} alone measures nothing", f"add {lacking}, or delete {here}"
            )
        return self


class Affects(StrEnum):
    """The effect of a defect: looks, function or safety."""

    LOOKS = "looks"
    FUNCTION = "function"
    SAFETY = "safety"


class Place(Record):
    """The place of a defect: station, wheel and part."""

    station: Station
    wheel: AtWheel | None = None
    """The wheel, if the station is `wheels`. The body drawing then points to it."""
    part: LocalizedText
    """The part, such as wheel arch."""

    def is_at(self, wheel: Wheel) -> bool:
        """Return whether the defect is on this wheel, or at the station at this corner of the vehicle.

        Of two wheels on one side it may be on either.
        """
        return (self.wheel or self.station).name == wheel.outer.name

    @model_validator(mode="after")
    def _wheel_at_wheels(self) -> Self:
        if self.wheel is not None and self.station is not Station.WHEELS:
            raise input_error(
                f"no wheel at the station {self.station}",
                "write `station: wheels` if the defect is on the wheel itself; else leave `wheel` out",
            )
        return self


class LeftAsItIs(StrEnum):
    """The explicit statement that nothing was done about a defect."""

    LEFT = "left as it is"


def _kind_of_done(written: Any) -> str:
    return "left" if written == LeftAsItIs.LEFT else "described"


Done = Annotated[
    Annotated[LeftAsItIs, Tag("left")] | Annotated[LocalizedText, Tag("described")],
    Discriminator(_kind_of_done),
    AnyOf(),
]


_STATIONS = "|".join(Station)


def _parse_place(written: Any) -> Any:
    if not isinstance(written, str):
        return written
    station, comma, part = (side.strip(" ") for side in written.partition(","))
    if not comma or station not in set(Station) or not part:
        expected = "a station of the walk, a comma and the part (right rear, wheel arch)"
        raise input_error(expected, f"begin with one of: {', '.join(Station)}")
    return {"station": station, "part": part}


PlaceWritten = Annotated[
    Place,
    BeforeValidator(
        _parse_place,
        json_schema_input_type=Place
        | Annotated[
            str,
            StringConstraints(pattern=f"^({_STATIONS}) *, *[^ ].*$"),
            Field(description="station, comma and part (right rear, wheel arch)"),
        ],
    ),
]
"""A place, written as a mapping or on one line: right rear, wheel arch."""


class Defect(Record):
    """One disclosed defect. Its id is part of its address on the page and never changes after publication."""

    id: Slug
    """Part of the defect's address on the page. Never change it after publication."""
    kind: str
    """Key of the kind of defect, such as `surface rust`."""
    where: PlaceWritten
    """Station of the walk and part of the vehicle."""
    size: Length | None = None
    """Size measured on the vehicle. Takes precedence over the size measured by a card in a photo."""
    count: Annotated[int, Field(ge=2, le=999)] | None = None
    """Number of flaws, if there are several. `size` is then the size of the largest."""
    rusted: AreaShare | None = None
    """Share of the painted part that shows rust, as graded by ISO 4628-3."""
    affects: Affects
    """What it affects. To claim less than its kind usually affects, or than its words suggest, give `because`."""
    because: LocalizedText | None = None
    """Why it affects no more than `affects` says. The page shows the reason."""
    words: LocalizedText
    """Description of the defect in plain words."""
    done: Done | None = None
    """What the store did about it, or `left as it is`. Left out if nobody noted it."""
    quote: Price | None = None
    """Price at which the store repairs it before delivery, if the buyer wants it."""
    photos: tuple[DefectPhoto, ...] = ()
    """Photos of the defect: one close, one that shows where it is."""


class CheckResult(StrEnum):
    """Result of the check of one point."""

    GOOD = "good"
    ATTENTION = "attention"
    NOT_CHECKED = "not checked"
    NOT_FITTED = "not fitted"


class CheckNote(Record):
    """A check result with a note, or with the id of a defect that describes it."""

    finding: CheckResult
    note: Note = None
    affects: Affects | None = None
    """What the finding affects. Left out, what the check point usually affects counts."""
    because: LocalizedText | None = None
    """Why it affects no more than `affects` says. The page shows the reason."""
    defect: Slug | None = None
    """Id of the defect that this check refers to."""


def _kind_of_check(written: Any) -> str:
    return "with a note" if isinstance(written, dict | CheckNote) else "by itself"


Check = Annotated[
    Annotated[CheckResult, Tag("by itself")] | Annotated[CheckNote, Tag("with a note")], Discriminator(_kind_of_check)
]


class Work(Record):
    """Work that the shop did before it offered the vehicle."""

    id: Slug | None = None
    """Name by which a visit can change it or take it back."""
    what: LocalizedText
    """What was done."""
    on: date
    """Day on which it was done."""
    at: Distance | None = None
    """Odometer when it was done."""
    renews: tuple[str, ...] = ()
    """Keys of renewed parts, such as `brakes.left_front`, `tires.right_rear`, `battery` or `services.engine_oil`."""
    ends_wear_of: tuple[str, ...] = ()
    """Keys of parts that wore faster than their mates until this work, such as `tires.left_front` before an alignment
    or `brakes.left_rear` before a caliper was freed. From then on they wear as their mates do."""
    settles: tuple[Slug, ...] = ()
    """Ids of defects that this work repaired."""
    finishes: tuple[Slug, ...] = ()
    """Ids of promises that this work fulfilled. It renews and settles what they named, unless it says otherwise."""
    by: Repair | None = None
    """How they were put right. Needed for what affects safety if `what` names no repair."""


class Promise(Record):
    """Work that the store promises to do before delivery. `renews` and `settles` are as in `Work`."""

    id: Slug | None = None
    """Name by which a visit can change it, take it back or finish it."""
    what: LocalizedText
    """What the store will do."""
    renews: tuple[str, ...] = ()
    """Keys of the parts that it renews."""
    ends_wear_of: tuple[str, ...] = ()
    """Keys of parts that wear faster than their mates until this work."""
    settles: tuple[Slug, ...] = ()
    """Ids of the defects that it repairs."""
    by: Repair | None = None
    """How they will be put right. Without it, the promise does not release a page that is held."""


class Addition(Record):
    """A part or accessory that an earlier owner fitted."""

    id: Slug | None = None
    """Name by which a visit can change it or take it back."""
    what: LocalizedText
    """What was fitted."""
    stays: bool
    """Whether it is sold with the vehicle."""
    note: Note = None


class Equipment(Record):
    """Equipment that buyers ask about: present (`has`) or absent (`lacks`)."""

    has: tuple[LocalizedText, ...] = ()
    """Equipment that the vehicle has."""
    lacks: tuple[LocalizedText, ...] = ()
    """Equipment that it does not have, though buyers expect it."""


ABOUT = (
    r"^(vin|vehicle|odometer|earlier_readings|title|recalls|sale_terms|inspection|inspections|tires|brakes|brake_fluid"
    r"|coolant|battery|traction_battery|paint|services|checks|work_done|before_delivery|not_for_road_use|additions"
    r"|harmless|equipment|defects|photos|film|history|notes)(\.[A-Za-z0-9_-]+)*$"
)
"""Pattern of an event's subject: a path of keys in the record, or an earlier inspection by its day."""


class Event(Record):
    """A dated change on the page after it was first published."""

    on: date
    """Day of the change."""
    what: LocalizedText
    """What changed, and why."""
    about: tuple[Annotated[str, StringConstraints(pattern=ABOUT)], ...] = ()
    """Paths of values that were published by mistake and that this event corrects, such as `defects.sill-rust`."""
