"""Convert the examples in a component's `examples.yaml` to the view models that its macros take.

Under `takes`, the file names the type of each argument: `str`, or the full Python name of a view model. `[str]`
stands for any number of them. An example lists the fields of its view model and is validated by the model's own
types, so that it cannot have more or fewer fields. Drawings (a ruler, a QR code) are given by the figures that they
are drawn from. Examples are part of the theme, so a fault in one raises an exception.
"""

from __future__ import annotations

import inspect
import itertools
import json
from collections.abc import Callable, Mapping
from dataclasses import is_dataclass, replace
from importlib import import_module
from types import GenericAlias, NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from markupsafe import Markup
from pydantic import TypeAdapter

from sitegen.pages.frame.addresses import Address
from sitegen.pages.frame.frame import Contact, Frame, Surroundings
from sitegen.pages.language.translator import Text
from sitegen.pages.print.qr_codes import QrCode, qr_code
from sitegen.pages.vehicle.defects.body_plan import BodyPlan, pinned
from sitegen.pages.vehicle.defects.card_sizes import ScaleBarView
from sitegen.pages.vehicle.defects.pictures import MarkView, PictureView, mark_view
from sitegen.pages.vehicle.measured.rulers import Ruler, ruler
from sitegen.records.base import LocalizedText
from sitegen.records.disclosure import Affects, Defect, Mark, Place, Station
from sitegen.records.vehicle import Body, Drive, Fuel, Vehicle

PHOTO = "../photo.svg"
"""The placeholder photo of all examples, as a link from an example's page."""


def example_views(example: Mapping[str, object], takes: Mapping[str, Any], around: Surroundings) -> dict[str, object]:
    """Return the arguments for a macro. Raises KeyError for an argument whose type `takes` does not name."""
    return {name: _value(_kind(takes[name]), given, around) for name, given in example.items()}


def _kind(type_name: Any) -> Any:
    """Return a type by its name.

    `[a]` is a tuple of any number of `a`; `[a, b]` is a tuple of one `a` and one `b`.
    """
    if isinstance(type_name, list):
        kinds = tuple(_kind(each) for each in type_name)
        return GenericAlias(tuple, (*kinds, ...) if len(kinds) == 1 else kinds)
    module, _, name = type_name.rpartition(".")
    return getattr(import_module(module or "builtins"), name)


def _value(kind: Any, given: Any, around: Surroundings) -> Any:
    """Convert a YAML value to a type."""
    inner = get_args(kind)
    if get_origin(kind) in (Union, UnionType):
        return _one_of(inner, given, around)
    if get_origin(kind) is tuple:
        kinds = [inner[0]] * len(given) if inner[-1] is Ellipsis else inner
        return tuple(_value(each, value, around) for each, value in zip(kinds, given, strict=True))
    if kind is Text and isinstance(given, str):
        return Text(given, None)
    if kind is Markup:
        return Markup(given if isinstance(given, str) else json.dumps(given, ensure_ascii=False))
    made_by = DRAWN.get(kind, kind)
    if is_dataclass(made_by) or inspect.isfunction(made_by):
        return _called(made_by, given, around)
    return TypeAdapter(kind).validate_python(given)


def _one_of(kinds: tuple[Any, ...], given: Any, around: Surroundings) -> Any:
    if given is None and NoneType in kinds:
        return None
    others = [kind for kind in kinds if kind is not NoneType]
    return _value(others[0] if len(others) == 1 or isinstance(given, str) else others[-1], given, around)


def _called(made_by: Any, given: Mapping[str, Any], around: Surroundings) -> Any:
    """Call a view model, or the function that draws it, with YAML values.

    A parameter `Surroundings` gets `around`.
    """
    kinds = get_type_hints(made_by, include_extras=True)
    values = {name: _value(kinds[name], value, around) for name, value in given.items()}
    injected = {name: around for name in inspect.signature(made_by).parameters if kinds[name] is Surroundings}
    return made_by(**values, **injected)


def _pictured(
    around: Surroundings,
    alt: Text,
    width: int = 1600,
    height: int = 1200,
    mark: Mark | None = None,
    number: int = 1,
    scale: ScaleBarView | None = None,
) -> PictureView:
    drawn = mark_view(mark, width, height, number, around.translator) if mark else None
    return PictureView(alt, (), "100vw", PHOTO, PHOTO, width, height, "#8a8f94", False, drawn, scale)


def _marked(around: Surroundings, mark: Mark, width: int, height: int, number: int) -> MarkView:
    return mark_view(mark, width, height, number, around.translator)


def _framed(around: Surroundings, store_name: str, contact: Contact) -> Frame:
    return replace(around.frame(Address(PHOTO), "", ""), store_name=store_name, contact=contact)


def _plan(around: Surroundings, body: Body, defects: Mapping[Station, int], doors: int | None = None) -> BodyPlan:
    """Draw a body with a number of defects at each station. The defects affect looks, function and safety in turn."""
    vehicle = Vehicle(
        year=2016, make="Brevik", model="Fjordline", body=body, drive=Drive.ALL, fuel=Fuel.GASOLINE, doors=doors
    )
    stations = [station for station, count in defects.items() for _ in range(count)]
    examples = [
        Defect(
            id=f"example-{number}",
            kind="dent",
            where=Place(station=station, part=_plain("door")),
            affects=affects,
            words=_plain("As an example."),
        )
        for number, (station, affects) in enumerate(zip(stations, itertools.cycle(Affects), strict=False), start=1)
    ]
    return pinned(
        vehicle,
        examples,
        {example.id: example.affects for example in examples},
        around.theme.bodies,
        around.translator,
    )


def _plain(words: str) -> LocalizedText:
    return LocalizedText({"": words})


DRAWN: Mapping[Any, Callable[..., object]] = {
    BodyPlan: _plan,
    Frame: _framed,
    MarkView: _marked,
    PictureView: _pictured,
    QrCode: qr_code,
    Ruler: ruler,
}
"""The function that draws each type from figures. Examples of every other type list the type's own fields."""
