"""Lets records share what is equal in them: quantities, days, words, and the names and sets of keys.

A record is made of some four hundred small objects, and of ten thousand vehicles most are the same few. Nothing of a
record ever changes, so one of each does for all.
"""

from __future__ import annotations

from collections.abc import Hashable
from datetime import date
from functools import cache
from sys import intern
from typing import Any

from pydantic import BaseModel

from sitegen.records.base import PartialDate, is_record_type
from sitegen.records.quantities import Quantity
from sitegen.records.vehicle_record import VehicleRecord


class OneOfEach:
    """Knows one object for all that are equal."""

    def __init__(self) -> None:
        self._known: dict[Hashable, Any] = {}

    def share(self, record: VehicleRecord) -> None:
        """Put what is known in the place of what is equal to it, in a record and those before it."""
        for each in (record, *record.earlier):
            self._share(each)

    def _share(self, model: BaseModel) -> None:
        one = self._one
        told = {intern(key): one(value) for key, value in model.__dict__.items()}
        said = model.model_fields_set
        object.__setattr__(model, "__dict__", told)
        object.__setattr__(model, "__pydantic_fields_set__", self._known.setdefault(frozenset(said), said))

    def _one(self, value: Any) -> Any:
        kind: Any = type(value)
        if value is None or kind is bool or kind is int:
            return value
        if is_record_type(kind):
            self._share(value)
        elif _is_quantity(kind):  # what is written says the amount, but for what was worked out
            known = self._known.setdefault((kind, value.written), value)
            return known if known.amount == value.amount else value
        elif _is_single(kind):
            return self._known.setdefault((kind, value), value)
        elif kind is tuple:
            return tuple(self._one(each) for each in value)
        elif kind is dict:
            return {self._one(key): self._one(each) for key, each in value.items()}
        return value


@cache
def _is_quantity(kind: type) -> bool:
    return issubclass(kind, Quantity)


@cache
def _is_single(kind: type) -> bool:
    return issubclass(kind, str | PartialDate | date)
