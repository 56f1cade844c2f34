"""Share equal immutable values between records, to save memory.

A record consists of about 400 small objects, and most of them are equal across ten thousand vehicles. Records never
change, so one instance of each value can serve all of them.
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


class InternPool:
    """A pool that holds one instance of each distinct value."""

    def __init__(self) -> None:
        self._pool: dict[Hashable, Any] = {}

    def share(self, record: VehicleRecord) -> None:
        """Replace the values in a record, and in its earlier inspections, by equal values from the pool."""
        for each in (record, *record.earlier):
            self._share(each)

    def _share(self, model: BaseModel) -> None:
        interned = {intern(key): self._intern(value) for key, value in model.__dict__.items()}
        fields_set = model.model_fields_set
        object.__setattr__(model, "__dict__", interned)
        object.__setattr__(model, "__pydantic_fields_set__", self._pool.setdefault(frozenset(fields_set), fields_set))

    def _intern(self, value: Any) -> Any:
        kind: Any = type(value)
        if value is None or kind is bool or kind is int:
            return value
        if is_record_type(kind):
            self._share(value)
        elif _is_quantity(kind):  # The written text determines the amount, except of computed quantities.
            pooled = self._pool.setdefault((kind, value.written), value)
            return pooled if pooled.amount == value.amount else value
        elif _is_single(kind):
            return self._pool.setdefault((kind, value), value)
        elif kind is tuple:
            return tuple(self._intern(each) for each in value)
        elif kind is dict:
            return {self._intern(key): self._intern(each) for key, each in value.items()}
        return value


@cache
def _is_quantity(kind: type) -> bool:
    return issubclass(kind, Quantity)


@cache
def _is_single(kind: type) -> bool:
    return issubclass(kind, str | PartialDate | date)
