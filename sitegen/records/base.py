"""Base classes and shared field types of all records: immutable models, localized texts, languages, partial dates."""

from __future__ import annotations

import calendar
import re
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Annotated, Any, Self

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler, GetJsonSchemaHandler, StringConstraints
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import PydanticCustomError, core_schema

from sitegen.records.everyday import rewritten

LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Z][a-z]{3})?(-[A-Z]{2})?")


class Record(BaseModel):
    """Base of all record types: immutable, and an unknown key is an error.

    Docstrings of classes and fields are the descriptions in the JSON Schema.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    def states(self, key: str) -> bool:
        """Return whether the file contains the key, even with the value `none`. A key left out means "not noted"."""
        return key in self.model_fields_set


@cache
def is_record_type(kind: type) -> bool:
    """Return whether a type is a record type. Cached: asking pydantic about the object itself is ten times slower."""
    return issubclass(kind, BaseModel)


class OrNone:
    """Annotation for a list that may also be written as the word `none`: somebody looked and found nothing.

    `none` and an empty list both become an empty tuple.
    """

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Return a schema that turns `none` into an empty tuple and validates anything else as the list."""
        word = core_schema.no_info_after_validator_function(lambda _: (), core_schema.literal_schema([NONE]))
        choices = {NONE: word, "a list": handler(source)}
        return core_schema.tagged_union_schema(choices, lambda written: NONE if written == NONE else "a list")

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Return the JSON Schema of the list, with the word `none` as an alternative."""
        listed = handler(schema["choices"]["a list"])
        return {"anyOf": [listed, {"const": NONE}]}


NONE = "none"


class AnyOf:
    """Annotation for a union of fixed words and free text.

    The JSON Schema then says `anyOf` in place of `oneOf`, because a fixed word is also valid free text.
    """

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Return the JSON Schema of the union with `anyOf` in place of `oneOf`."""
        schema_of_union = handler(schema)
        return {"anyOf": schema_of_union["oneOf"]} if "oneOf" in schema_of_union else schema_of_union


def input_error(expected: str, mend: str) -> PydanticCustomError:
    """Return the validation error for a value that cannot be read.

    `expected` describes the accepted form and `mend` says how to correct the value. The problem shows both.
    """
    return PydanticCustomError("input_error", "expected {expected}", {"expected": expected, "mend": mend})


@dataclass(frozen=True)
class Shape:
    """Annotation for a short text that must match a pattern.

    `expected` and `mend` describe the pattern in words for error messages, for example
    `Annotated[str, Shape("[A-Z]{3}", "a currency code (USD)", "look it up in ISO 4217")]`.
    """

    pattern: str
    expected: str
    mend: str

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Return a schema that checks the pattern after the value is known to be text."""

        def check(text: str) -> str:
            if not re.fullmatch(self.pattern, text):
                raise input_error(self.expected, self.mend)
            return text

        return core_schema.no_info_after_validator_function(check, handler(source))

    def __get_pydantic_json_schema__(self, schema: Any, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Return the JSON Schema with the pattern, so that an editor can check it."""
        return {**handler(schema), "pattern": f"^({self.pattern})$", "description": self.expected}


Language = Annotated[
    str, Shape(LANGUAGE.pattern, "a language tag (en, es, pt-BR)", "write two small letters for the language")
]


def nearest_language(wanted: str, fallbacks: Iterable[str], available: Container[str]) -> str:
    """Return the available language that is closest to the wanted one.

    Try the wanted tag, then the tag without its region, then each of `fallbacks`.
    Raises StopIteration if none of them is available.
    """
    return next(tag for tag in (wanted, wanted.split("-")[0], *fallbacks) if tag in available)


@dataclass(frozen=True)
class LocalizedText:
    """Free text of the store: one string in the store's first language, or one string per language.

    `versions` maps a language tag to its text. The empty tag stands for the store's first language.
    """

    versions: Mapping[str, str]

    def best(self, language: str, first_language: str) -> tuple[str, str]:
        """Return the text that is closest to the wanted language, and the language tag of that text."""
        tagged = {tag or first_language: text for tag, text in self.versions.items()}
        tag = nearest_language(language, (first_language, *tagged), tagged)
        return tagged[tag], tag

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Return a schema that reads one string, or a mapping of language tags to strings."""
        expected = "some text, or one text per language ({en: ..., es: ...})"

        def fail(mend: str) -> PydanticCustomError:
            return input_error(expected, mend)

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
        """Return the JSON Schema of both forms."""
        by_language = {
            "type": "object",
            "propertyNames": {"pattern": f"^{LANGUAGE.pattern}$"},
            "additionalProperties": {"type": "string", "minLength": 1},
            "minProperties": 1,
        }
        return {"anyOf": [{"type": "string", "minLength": 1}, by_language]}


@dataclass(frozen=True)
class PartialDate:
    """A day, a month or a year, stored as the interval of days that it covers."""

    earliest: date
    latest: date
    written: str

    @classmethod
    def parse(cls, text: str) -> Self:
        """Parse `2023-03-14`, `2023-03` or `2023`. Raises PydanticCustomError for anything else."""
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
            raise input_error(
                "a day, month or year (2023-03-14, 2023-03 or 2023)",
                rewritten(text) or "write the year first, with four digits; the month and the day have two",
            ) from None

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Return a schema that parses text, or a year that YAML has read as a number."""

        def read(value: Any) -> PartialDate:
            return value if isinstance(value, PartialDate) else cls.parse(str(value))

        return core_schema.no_info_plain_validator_function(
            read,
            serialization=core_schema.plain_serializer_function_ser_schema(lambda partial: partial.written),
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Return the JSON Schema of the written form."""
        pattern = r"^\d{4}(-\d{2}(-\d{2})?)?$"
        return {"anyOf": [{"type": "string", "pattern": pattern}, {"type": "integer", "minimum": 1900}]}


Note = Annotated[LocalizedText | None, Field(description="Remark, shown on the page beside it.")]
"""An optional remark. A key of this type needs no description of its own."""


Slug = Annotated[
    str,
    StringConstraints(max_length=60),
    Shape(
        "[a-z0-9]+(-[a-z0-9]+)*",
        "small letters and digits, with single hyphens between (right-rear-arch-rust)",
        "write it in small letters, with a hyphen for each space",
    ),
]
