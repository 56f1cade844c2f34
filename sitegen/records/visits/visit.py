"""A visit: a dated file with the values that somebody looked at or changed after the first inspection.

A visit has the keys of the record, any of them. What it leaves out stays as it was. Nested groups (a tire, the
battery) may be partial too; an entry of a list must be complete, except a defect that is known already.
"""

from __future__ import annotations

from datetime import date, datetime
from enum import StrEnum
from functools import cache
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import Field, PlainSerializer, PlainValidator, StringConstraints, create_model

from sitegen.records.base import LocalizedText, Record, Slug, input_error
from sitegen.records.disclosure import Affects, DefectPhoto, Done, PlaceWritten
from sitegen.records.quantities import AreaShare, Distance, Length
from sitegen.records.vehicle import Price
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import Gauges

NEVER_IN_A_VISIT = ("stock", "vin", "inspection", "defects")
"""Keys of the record that a visit lacks, or has in another form: `on`, `at` and `by` stand for `inspection`."""
WHOLE = ("title", "recalls", "sale_terms", "film")
"""Groups that a visit states as a whole, because their values belong to one look-up or one decision."""


def _read_moment(written: Any) -> date | datetime:
    if isinstance(written, date):
        return written
    try:
        if len(str(written)) == len("2026-10-15"):
            return date.fromisoformat(str(written))
        moment = datetime.fromisoformat(str(written))
        if moment.tzinfo is not None:
            return moment
    except ValueError:
        pass
    raise input_error(
        "a day (2026-10-15), or a moment with its zone (2026-10-15T14:12-05:00)",
        "write the year first; after a time, write how far it is from UTC",
    )


Moment = Annotated[
    date | datetime,
    PlainValidator(_read_moment, json_schema_input_type=str),
    PlainSerializer(lambda moment: moment.isoformat()),
]
"""A day, or a moment with its offset from UTC."""


class DefectNow(StrEnum):
    """State of a known defect at a visit."""

    SAME = "same as before"
    WORSE = "worse"
    PUT_RIGHT = "put right"
    NOT_FOUND = "not found"


class DefectAtVisit(Record):
    """A defect at a visit: a new one with all of its keys, or a known one with `now` and the keys that changed."""

    id: Slug
    now: DefectNow | None = None
    reason: LocalizedText | None = None
    """Why the defect is not found any more."""
    kind: str | None = None
    where: PlaceWritten | None = None
    size: Length | None = None
    count: Annotated[int, Field(ge=2, le=999)] | None = None
    rusted: AreaShare | None = None
    affects: Affects | None = None
    because: LocalizedText | None = None
    words: LocalizedText | None = None
    done: Done | None = None
    quote: Price | None = None
    photos: tuple[DefectPhoto, ...] = ()


@cache
def partial_type(model: type[Record]) -> type[Record]:
    """Return a record type with the same fields, all of them optional, and with nested groups partial likewise."""
    fields: dict[str, Any] = {}
    for name, field in model.model_fields.items():
        annotation = Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation
        partial: Any = annotation if name in WHOLE else _partial_annotation(annotation)
        fields[name] = (Union[partial, None], None)  # noqa: UP007  # built at run time
    return create_model(f"{model.__name__}AtVisit", __base__=Record, __doc__=model.__doc__, **fields)


def _partial_annotation(annotation: Any) -> Any:
    """Return the annotation with record types replaced by partial ones. Items of lists and mappings stay whole."""
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return partial_type(annotation)
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return Annotated[_partial_annotation(arguments[0]), *arguments[1:]]
    if origin in (Union, UnionType):
        return Union[tuple(_partial_annotation(argument) for argument in arguments)]  # noqa: UP007  # built at run time
    return annotation


class Visit(Record):
    """One visit: the values that somebody looked at or changed, with the day, the odometer and the person.

    `VISIT` is the type with all keys of the record. This base holds the keys that only a visit has.
    """

    on: Moment
    """When the values were looked at or changed."""
    at: Distance | None = None
    """Odometer reading."""
    by: LocalizedText | None = None
    """Person who looked at or changed the values."""
    gauges: Gauges | None = None
    """Gauges used at the visit."""
    withdraw: tuple[Annotated[str, StringConstraints(min_length=1, max_length=200)], ...] = ()
    """Paths of values that were wrong, such as `tires.left_front.tread`. The values before them apply again."""
    defects: tuple[DefectAtVisit, ...] = ()

    @property
    def day(self) -> date:
        """Return the day of the visit, in the time zone of its moment."""
        return self.on.date() if isinstance(self.on, datetime) else self.on


VISIT: type[Visit] = create_model(
    "VisitFile",
    __base__=Visit,
    __doc__=Visit.__doc__,
    **{
        name: (field.annotation, None)
        for name, field in partial_type(VehicleRecord).model_fields.items()
        if name not in NEVER_IN_A_VISIT
    },  # type: ignore[call-overload]
)
"""The type of a visit's file: the keys of `Visit`, and every other key of the record, all of them optional."""
