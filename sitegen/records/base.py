"""What every record shares: it never changes once read, and it knows no key that it was not told of."""

from __future__ import annotations

import calendar
import re
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Annotated, Any, Self

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import PydanticCustomError, core_schema

from sitegen.records.everyday import rewritten

LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Z][a-z]{3})?(-[A-Z]{2})?")


class Record(BaseModel):
    """Base of all record types: frozen, strict about keys, and described by its docstrings in the schema."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    def speaks_of(self, key: str) -> bool:
        """Tell whether the record says anything of a key, be it that there is none: what it omits is not noted."""
        return key in self.model_fields_set


@cache
def is_of_records(kind: type) -> bool:
    """Tell whether a type is one of records. Of an object itself pydantic answers that ten times as slowly."""
    return issubclass(kind, BaseModel)


class OrNone:
    """Lets a list be written as `none`: that there is nothing is then said by somebody, as with an empty list."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Take the word for an empty list. A choice by what is written keeps the list as strict as any other."""
        word = core_schema.no_info_after_validator_function(lambda _: (), core_schema.literal_schema([NONE]))
        choices = {NONE: word, "a list": handler(source)}
        return core_schema.tagged_union_schema(choices, lambda written: NONE if written == NONE else "a list")

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Offer the word beside the list."""
        listed = handler(schema["choices"]["a list"])
        return {"anyOf": [listed, {"const": NONE}]}


NONE = "none"


class AnyOf:
    """Where a word of its own stands beside free text, both fit it: the schema says any of them, not just one."""

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Say `anyOf` where the union would say `oneOf`."""
        found = handler(schema)
        return {"anyOf": found["oneOf"]} if "oneOf" in found else found


def misread(expected: str, mend: str) -> PydanticCustomError:
    """Return the error that `reading` turns into a problem: what was expected, and how to mend it."""
    return PydanticCustomError("misread", "expected {expected}", {"expected": expected, "mend": mend})


@dataclass(frozen=True)
class Shape:
    """The shape of a short text: as a pattern for machines, and in words for people.

    Stands in an annotation: `Annotated[str, Shape("[A-Z]{3}", "a currency code (USD)", "look it up in ISO 4217")]`.
    """

    pattern: str
    expected: str
    mend: str

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Check the text once it is known to be one."""

        def check(text: str) -> str:
            if not re.fullmatch(self.pattern, text):
                raise misread(self.expected, self.mend)
            return text

        return core_schema.no_info_after_validator_function(check, handler(source))

    def __get_pydantic_json_schema__(self, schema: Any, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Describe the shape, so that an editor can check it."""
        return {**handler(schema), "pattern": f"^({self.pattern})$", "description": self.expected}


Language = Annotated[
    str, Shape(LANGUAGE.pattern, "a language tag (en, es, pt-BR)", "write two small letters for the language")
]


def nearest_language(wanted: str, otherwise: Iterable[str], there: Container[str]) -> str:
    """Return the language, of those that are there, that a reader of the wanted one is served best with.

    It is the wanted one, else that without its region, else the first of `otherwise`. Raises StopIteration for none.
    """
    return next(tag for tag in (wanted, wanted.split("-")[0], *otherwise) if tag in there)


@dataclass(frozen=True)
class LocalizedText:
    """Free text of the store: one string in the store's first language, or one per language.

    `versions` maps a language tag to its text; the empty tag stands for the store's first language.
    """

    versions: Mapping[str, str]

    def best(self, language: str, first_language: str) -> tuple[str, str]:
        """Return the text and the language it is really in, the wanted one if there is one."""
        tagged = {tag or first_language: text for tag, text in self.versions.items()}
        tag = nearest_language(language, (first_language, *tagged), tagged)
        return tagged[tag], tag

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Validate from a string, or from one string per language."""
        expected = "some text, or one text per language ({en: ..., es: ...})"

        def fail(mend: str) -> PydanticCustomError:
            return misread(expected, mend)

        def read(value: Any) -> LocalizedText:
            if isinstance(value, LocalizedText):
                return value
            if isinstance(value, str):
                if not value.strip():
                    raise fail("write the text, or leave the key out")
                return cls({"": value.strip()})
            if isinstance(value, Mapping) and value:
                for tag, text in value.items():
                    if not LANGUAGE.fullmatch(str(tag)):
                        raise fail(f'write a language tag, such as en or es, in place of "{tag}"')
                    if not isinstance(text, str) or not text.strip():
                        raise fail(f'write the text for "{tag}", or leave "{tag}" out')
                return cls({str(tag): text.strip() for tag, text in value.items()})
            raise fail("put the text in quotes if it looks like a number or begins with a sign")

        def write(text: LocalizedText) -> str | dict[str, str]:
            return text.versions[""] if set(text.versions) == {""} else dict(text.versions)

        return core_schema.no_info_plain_validator_function(
            read, serialization=core_schema.plain_serializer_function_ser_schema(write)
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Describe both forms."""
        by_language = {
            "type": "object",
            "propertyNames": {"pattern": f"^{LANGUAGE.pattern}$"},
            "additionalProperties": {"type": "string", "minLength": 1},
            "minProperties": 1,
        }
        return {"anyOf": [{"type": "string", "minLength": 1}, by_language]}


@dataclass(frozen=True)
class PartialDate:
    """A day, a month or a year, as precise as is known: an interval of days, never a pretended day."""

    earliest: date
    latest: date
    written: str

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read `2023-03-14`, `2023-03` or `2023`. Raises PydanticCustomError."""
        match = re.fullmatch(r"(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?", text.strip(), re.ASCII)
        try:
            if match is None:
                raise ValueError
            year = int(match[1])
            first_month, last_month = (int(match[2]),) * 2 if match[2] else (1, 12)
            last_day = calendar.monthrange(year, last_month)[1] if 1 <= last_month <= 12 else 0
            first, last = (int(match[3]),) * 2 if match[3] else (1, last_day)
            return cls(date(year, first_month, first), date(year, last_month, last), text.strip())
        except ValueError:
            raise misread(
                "a day, month or year (2023-03-14, 2023-03 or 2023)",
                rewritten(text) or "write the year first, with four digits; the month and the day have two",
            ) from None

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Validate from text, or from the bare year that YAML reads as a number."""

        def read(value: Any) -> PartialDate:
            return value if isinstance(value, PartialDate) else cls.parse(str(value))

        return core_schema.no_info_plain_validator_function(
            read,
            serialization=core_schema.plain_serializer_function_ser_schema(lambda partial: partial.written),
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Describe the written form."""
        pattern = r"^\d{4}(-\d{2}(-\d{2})?)?$"
        return {"anyOf": [{"type": "string", "pattern": pattern}, {"type": "integer", "minimum": 1900}]}
