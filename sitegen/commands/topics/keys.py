"""The reference of every key of a store's files, with its values and meaning, generated from the JSON Schemas.

The schemas are generated from the record types, so this reference cannot be out of date.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sitegen.commands.topics.tables import NameTable, joined, table

Schema = Mapping[str, Any]

MOST_VALUES = 20
"""The number of values that are listed one by one. A longer list is replaced by its length."""
_DEFINITIONS = "#/$defs/"
_PARTIAL_DATE = r"^\d{4}(-\d{2}(-\d{2})?)?$"


@dataclass(frozen=True)
class FileKey:
    """One key of a file, or of a part of a file."""

    name: str
    values: str
    """The accepted values, in words."""
    meaning: str
    is_required: bool
    default: str | None
    """The value that applies when the key is absent, as YAML. None if there is none."""
    parts: tuple[str, ...]
    """Names of the record types that the key's values consist of."""


@dataclass(frozen=True)
class FilePart:
    """A part of a file that has keys of its own: the whole file, a tire, a defect."""

    name: str
    meaning: str
    keys: tuple[FileKey, ...]


def parts_of(schema: Schema) -> tuple[FilePart, ...]:
    """Return the parts of a file by its JSON Schema: the whole file, then each part in the order of first use."""
    definitions: Mapping[str, Schema] = schema.get("$defs", {})
    found = {"": _part(schema["title"], schema, definitions)}
    waiting = [name for key in found[""].keys for name in key.parts]
    while waiting:
        name = waiting.pop(0)
        if name not in found:
            found[name] = _part(name, definitions[name], definitions)
            waiting = [*(used for key in found[name].keys for used in key.parts), *waiting]
    return tuple(found.values())


def in_words(name: str) -> str:
    """Return the name of a part in words: `DiscBrake` becomes `disc brake`."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name).lower()


def _part(name: str, schema: Schema, definitions: Mapping[str, Schema]) -> FilePart:
    required = schema.get("required", ())
    keys = (
        FileKey(
            name=key,
            values=_values(value, definitions),
            meaning=" ".join(_meaning(value, definitions).split()),
            is_required=key in required,
            default=_default(value),
            parts=tuple(_parts_in(value, definitions)),
        )
        for key, value in schema["properties"].items()
    )
    return FilePart(name, " ".join(schema.get("description", "").split()), tuple(keys))


def _default(schema: Schema) -> str | None:
    default = schema.get("default")
    if default is None or default == [] or isinstance(default, dict):
        return None
    return str(default) if isinstance(default, str) else json.dumps(default)


def _meaning(schema: Schema, definitions: Mapping[str, Schema]) -> str:
    """Return the description of a key. If it has none, return that of the type of its values."""
    if schema.get("description") and ("$comment" in schema or "pattern" not in schema):
        return str(schema["description"])
    match list(_choices(schema)):
        case [{"$ref": str(reference)}]:
            return str(definitions[reference.removeprefix(_DEFINITIONS)].get("description", ""))
        case [{"type": "array", "items": items}]:
            return _meaning(items, definitions)
    return ""


def _choices(schema: Schema) -> Iterator[Schema]:
    """Yield each schema that a value may match, except the null schema."""
    for name in ("anyOf", "oneOf"):
        if name in schema:
            for choice in schema[name]:
                yield from _choices(choice)
            return
    if schema.get("type") != "null":
        yield schema


def _parts_in(schema: Schema, definitions: Mapping[str, Schema]) -> Iterator[str]:
    """Yield the names of the parts with keys of their own that values of a schema contain."""
    for choice in _choices(schema):
        if "$ref" in choice:
            name = choice["$ref"].removeprefix(_DEFINITIONS)
            if "properties" in definitions[name]:
                yield name
        for inner in ("items", "additionalProperties"):
            if isinstance(choice.get(inner), Mapping):
                yield from _parts_in(choice[inner], definitions)


def _values(schema: Schema, definitions: Mapping[str, Schema]) -> str:
    """Return, in words, the values that match a schema."""
    choices = list(_choices(schema))
    if any("propertyNames" in choice and "additionalProperties" in choice for choice in choices):
        choices = [choice for choice in choices if choice.get("type") != "string" or "pattern" in choice]
    if any(choice.get("pattern") == _PARTIAL_DATE for choice in choices):
        choices = [choice for choice in choices if choice.get("type") != "integer"]
    words = dict.fromkeys(_one_value(choice, definitions) for choice in choices)
    return " or ".join(words)


def _one_value(schema: Schema, definitions: Mapping[str, Schema]) -> str:
    if "$ref" in schema:
        name = schema["$ref"].removeprefix(_DEFINITIONS)
        definition = definitions[name]
        return in_words(name) if "properties" in definition else _one_value(definition, definitions)
    if "const" in schema:
        return f"`{schema['const']}`"
    if "enum" in schema:
        values = schema["enum"]
        return _listed(values) if len(values) <= MOST_VALUES else f"one of {len(values)} keys"
    match schema.get("type"):
        case "array":
            return f"list of: {_values(schema['items'], definitions)}"
        case "object":
            return _mapping(schema, definitions)
        case "boolean":
            return "`true` or `false`"
        case "integer" | "number":
            return _number(schema)
    return _text(schema)


def _listed(values: Iterable[str]) -> str:
    return ", ".join(f"`{value}`" for value in values)


def _mapping(schema: Schema, definitions: Mapping[str, Schema]) -> str:
    if "patternProperties" in schema:
        (value,) = schema["patternProperties"].values()
        return f"{_values(value, definitions)}, by language"
    if "propertyNames" in schema:
        return "text, or text by language"
    return f"by key: {_values(schema['additionalProperties'], definitions)}"


def _number(schema: Schema) -> str:
    kind = "whole number" if schema["type"] == "integer" else "number"
    low = schema.get("minimum", schema.get("exclusiveMinimum"))
    high = schema.get("maximum")
    if low is not None and high is not None:
        return f"{kind} from {low} to {high}" if "minimum" in schema else f"{kind} above {low}, up to {high}"
    return kind


def _text(schema: Schema) -> str:
    if "pattern" in schema and "description" in schema:
        return str(schema.get("$comment", schema["description"]))
    if schema.get("format") == "date":
        return "day (2026-10-04)"
    if schema.get("pattern") == _PARTIAL_DATE:
        return "day, month or year (2023-03-14, 2023-03, 2023)"
    return "text"


def as_markdown(parts: Iterable[FilePart]) -> str:
    """Return the reference of a file in Markdown: one table for each part, linked from the keys that use the part."""
    first, *others = parts
    return joined([first.meaning, _table_of(first).as_markdown(), *(_section(part) for part in others)])


def as_text(parts: Iterable[FilePart]) -> str:
    """Return the reference of a file as text for a terminal: each key with its values, and its meaning below."""
    texts = ("\n".join([in_words(part.name), *(_lines_of(key) for key in part.keys)]) for part in parts)
    return joined(texts).replace("`", "")


def _section(part: FilePart) -> str:
    return joined([f"### {in_words(part.name)}", part.meaning, _table_of(part).as_markdown()])


def _table_of(part: FilePart) -> NameTable:
    return table(
        ("key", "values", "meaning"), ((f"`{key.name}`", _linked(key), _full_meaning(key)) for key in part.keys)
    )


def _linked(key: FileKey) -> str:
    """Return the values of a key, with a link to each part they name."""
    values = key.values
    for part in dict.fromkeys(key.parts):
        words = in_words(part)
        values = re.sub(rf"(?<![\w(`]){words}(?![\w`])", f"[{words}](#{words.replace(' ', '-')})", values, count=1)
    return values


def _full_meaning(key: FileKey) -> str:
    sentence = "**Required.** " if key.is_required else ""
    return f"{sentence}{key.meaning}{f' Without it: `{key.default}`.' if key.default is not None else ''}"


def _lines_of(key: FileKey) -> str:
    return f"  {key.name}: {key.values}\n      {_full_meaning(key).replace('**', '')}"
