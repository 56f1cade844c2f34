"""Examples of components: each macro in named states, with the view models that it takes, from `examples.yaml`.

The file says under `takes` which view model each argument is, by its name in Python: `str`, or one of ours in full;
`[str]` is any number of them. An example is written field by field as its view model, and made into it by the model's
own types, so that it cannot hold more or less than the model. What is drawn from figures (a ruler, a code) is written
as the figures. All examples are our own: a fault in one raises.
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
"""The picture of all examples, seen from the page of one."""


def example_views(example: Mapping[str, object], takes: Mapping[str, Any], around: Surroundings) -> dict[str, object]:
    """Return the arguments for a macro. Raises KeyError for one of which `takes` does not say what it is."""
    return {name: _made(_kind(takes[name]), given, around) for name, given in example.items()}


def _kind(written: Any) -> Any:
    """Return a type by its name; a list of one is any number of that type, a list of more is one of each."""
    if isinstance(written, list):
        kinds = tuple(_kind(one) for one in written)
        return GenericAlias(tuple, (*kinds, ...) if len(kinds) == 1 else kinds)
    module, _, name = written.rpartition(".")
    return getattr(import_module(module or "builtins"), name)


def _made(kind: Any, given: Any, around: Surroundings) -> Any:
    """Return what was written as a value of a type."""
    inner = get_args(kind)
    if get_origin(kind) in (Union, UnionType):
        return _one_of(inner, given, around)
    if get_origin(kind) is tuple:
        kinds = [inner[0]] * len(given) if inner[-1] is Ellipsis else inner
        return tuple(_made(one, value, around) for one, value in zip(kinds, given, strict=True))
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
    return _made(others[0] if len(others) == 1 or isinstance(given, str) else others[-1], given, around)


def _called(made_by: Any, given: Mapping[str, Any], around: Surroundings) -> Any:
    """Call a view model, or what draws it, with what was written; the surroundings come from us."""
    kinds = get_type_hints(made_by, include_extras=True)
    values = {name: _made(kinds[name], value, around) for name, value in given.items()}
    ours = {name: around for name in inspect.signature(made_by).parameters if kinds[name] is Surroundings}
    return made_by(**values, **ours)


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
    """Pin so many defects at each station, taking turns in what they affect."""
    vehicle = Vehicle(
        year=2016, make="Brevik", model="Fjordline", body=body, drive=Drive.ALL, fuel=Fuel.GASOLINE, doors=doors
    )
    stations = [station for station, count in defects.items() for _ in range(count)]
    told = [
        Defect(
            id=f"example-{number}",
            kind="dent",
            where=Place(station=station, part=_plain("door")),
            affects=affects,
            words=_plain("As an example."),
        )
        for number, (station, affects) in enumerate(zip(stations, itertools.cycle(Affects), strict=False), start=1)
    ]
    return pinned(vehicle, told, around.theme.bodies, around.translator)


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
"""What is made from figures, and by what; everything else is written as it is."""
