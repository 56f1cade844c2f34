"""Lets records share what is equal in them: quantities, days, words, and the names and sets of keys.

A record is made of some four hundred small objects, and of ten thousand vehicles most are the same few. Nothing of a
record ever changes, so one of each does for all.
"""

from __future__ import annotations

from collections.abc import Hashable
from datetime import date
from sys import intern
from typing import Any

from pydantic import BaseModel

from sitegen.records.base import PartialDate
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
        told = {intern(key): self._one(value) for key, value in model.__dict__.items()}
        said = model.model_fields_set
        object.__setattr__(model, "__dict__", told)
        object.__setattr__(model, "__pydantic_fields_set__", self._known.setdefault(frozenset(said), said))

    def _one(self, value: Any) -> Any:
        match value:
            case BaseModel():
                self._share(value)
            case Quantity():  # equal are those of one amount, however they are written
                return self._known.setdefault((type(value), value.amount, value.written), value)
            case str() | PartialDate() | date():
                return self._known.setdefault((type(value), value), value)
            case tuple():
                return tuple(self._one(each) for each in value)
            case dict():
                return {self._one(key): self._one(each) for key, each in value.items()}
        return value
