"""Plain words for each kind of validation error: what was expected, and how to correct it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from sitegen.reading.validation.did_you_mean import did_you_mean, listed
from sitegen.reading.yaml.tree import Node, YamlMapping, YamlScalar
from sitegen.records.everyday import rewritten

_DIGITS = re.compile(r"[^\d]*(\d[\d, ]*(?:\.\d+)?)(?![\d.])[^\d]*")
_MONEY = re.compile(r"[^\W\d_]|[\u20a0-\u20cf$£¥]")
"""A letter or a currency sign: Unicode's block Currency Symbols, and three signs outside of it."""
_NONE = {"none", "no", "nothing", "n/a", "-"}
_YES = {"yes": "true", "on": "true", "y": "true", "no": "false", "off": "false", "n": "false"}


def error_words(
    error: Mapping[str, Any], node: Node | None, choices: Sequence[str], accepted: str
) -> tuple[str, str]:
    """Return the expectation and the advice for an error reported by pydantic.

    `choices` are the fixed words that are accepted; `accepted` describes in general what is accepted.
    """
    kind, context = error["type"], error.get("ctx", {})
    written = node.written if isinstance(node, YamlScalar) else ""
    if kind == "input_error":
        return context["expected"], context["mend"]
    if choices:
        return accepted or listed(choices), did_you_mean(written, choices, "write one of these")
    if kind in _BOUNDS:
        words, name, mend = _BOUNDS[kind]
        return words.format(context[name]), mend
    for beginning, words_of in _KINDS.items():
        if kind.startswith(beginning):
            return words_of(written)
    return accepted, _mend_shape(node)


def _date(written: str) -> tuple[str, str]:
    whole = re.fullmatch(r"\d{4}-\d\d-\d\d", written)
    mend = "check the month and the day" if whole else "write the year with four digits, then the month, then the day"
    return "a day (2026-10-04)", rewritten(written, to_the_day=True) or mend


def _whole_number(written: str) -> tuple[str, str]:
    return "a whole number", _number_alone(written)


def _number(written: str) -> tuple[str, str]:
    return "a number", _number_alone(written)


def _amount(written: str) -> tuple[str, str]:
    if re.search(r",\d{1,2}$", written):
        return "an amount of money (13450 or 13450.50)", "write the cents after a point"
    too_fine = re.search(r"\.\d{3,}", written)
    if _MONEY.search(written) and (match := _DIGITS.fullmatch(written)) and not too_fine:
        figure = re.sub("[, ]", "", match[1])
        mend = f"write {figure} if it is in the currency of site.yaml; else write what it is in that currency"
        return "an amount of money (13450 or 13450.50)", mend
    mend = "write at most two digits after the point" if too_fine else _number_alone(written)
    return "an amount of money (13450 or 13450.50)", mend


def _number_alone(written: str) -> str:
    match = _DIGITS.fullmatch(written)
    if written.isdigit():
        return "write it without quotes"
    return (
        f"write {re.sub('[, ]', '', match[1])}" if match else "write digits only, without a sign, a comma or a unit"
    )


def _true_or_false(written: str) -> tuple[str, str]:
    meant = _YES.get(written.strip().casefold())
    return "true or false", f"write {meant}" if meant else "write one of the two"


def _list(written: str) -> tuple[str, str]:
    entries = "begin each entry with a hyphen, on a line of its own"
    return "a list", "leave the key out if there is none" if written.casefold() in _NONE else entries


def _text(_: str) -> tuple[str, str]:
    return "a text", "write it on one line, or in quotes"


_BOUNDS = {
    "greater_than": ("a number above {}", "gt", "check the figure"),
    "greater_than_equal": ("a number of at least {}", "ge", "check the figure"),
    "less_than": ("a number below {}", "lt", "check the figure"),
    "less_than_equal": ("a number of at most {}", "le", "check the figure"),
    "string_too_short": ("a text of {} or more characters", "min_length", "write it out"),
    "string_too_long": ("a text of {} characters at most", "max_length", "shorten it"),
    "too_short": ("{} or more in the list", "min_length", "add what belongs in it"),
}
_KINDS = {
    "date_": _date,
    "int_": _whole_number,
    "float_": _number,
    "decimal_": _amount,
    "bool_": _true_or_false,
    "tuple_": _list,
    "list_": _list,
    "string_": _text,
}


def _mend_shape(node: Node | None) -> str:
    if isinstance(node, YamlMapping):
        return "write a single value"
    return "write each key on a line of its own below it, two spaces further in"
