"""Put a supplier's price table into `services.yaml`, whole or not at all, and leave every other line unchanged."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import yaml

from sitegen.disk import half_of, one_at_a_time, write_whole
from sitegen.intake.arrival import ArrivalError
from sitegen.intake.price_table import read_price_table
from sitegen.reading.checks.settings import check_prices
from sitegen.reading.reference.vocabulary import read_vocabulary
from sitegen.reading.validation.record_files import read_file
from sitegen.reading.validation.validating import validate
from sitegen.reading.yaml.files import read_text
from sitegen.records.money.prices import PriceFor, PriceList
from sitegen.records.problems import Problem, Severity
from sitegen.shared_data import content_folder

FILE = "services.yaml"
SAYS_WHAT_IT_COSTS = ("name", "price", "hours", "parts")
"""The keys of an entry that are not conditions on the vehicle."""


def import_prices(store: Path, table: Path) -> tuple[int, tuple[Problem, ...]]:
    """Put every price of a table into the store's list. Return the number of prices, and the problems.

    An entry for the same service and the same vehicles is replaced; everything else stays. After an error nothing is
    written. Raises ArrivalError if the list cannot be edited.
    """
    text, problems = read_text(table, table.name)
    if text is None:
        return 0, tuple(problems)
    marks, problems = read_price_table(text, table.name)
    if problems:
        return 0, tuple(sorted(problems))
    top = marks.node(())
    assert top is not None  # a table without problems has a tree
    found = validate(PriceList, top, marks)
    if found.record is None:
        return 0, found.problems
    with one_at_a_time(store):
        file = store / FILE
        before = file.read_text("utf-8") if file.exists() else "prices:\n"
        current = read_file(PriceList, file, FILE).record if file.exists() else None
        # Hours may be charged at the labor rate that the store's own list has.
        rated = found.record.model_copy(update={"labor_rate": current.labor_rate if current else None})
        problems = list(check_prices(rated, marks, read_vocabulary(content_folder())))
        if any(problem.severity is Severity.ERROR for problem in problems):
            return 0, tuple(problems)
        after = with_prices(before, found.record)
        if errors := _errors_of(after, store):
            return 0, errors
        write_whole(file, after.encode())
    return len(found.record.prices) + len(found.record.for_some), tuple(problems)


def _errors_of(text: str, store: Path) -> tuple[Problem, ...]:
    """Return the errors that a changed list has."""
    trial = half_of(store / FILE)
    try:
        trial.write_text(text, "utf-8", newline="")
        return read_file(PriceList, trial, FILE).problems
    finally:
        trial.unlink(missing_ok=True)


def with_prices(text: str, added: PriceList) -> str:
    """Return the text of a price list with added prices. Raises ArrivalError unless each key has its own line."""
    for service, price in added.prices.items():
        text = _with_price(text, service, _plain(price))
    for entry in added.for_some:
        text = _with_entry(text, entry)
    return text


def _with_price(text: str, service: str, price: str) -> str:
    prices = _top_level(text).get("prices")
    for key, value in _pairs(prices):
        if key.value == service:
            return text[: value.start_mark.index] + price + text[value.end_mark.index :]
    pairs = _pairs(prices)
    if not pairs:
        return _after(text, prices.start_mark.index if prices else 0, f"  {service}: {price}\n")
    indent = " " * pairs[-1][0].start_mark.column
    return _after(text, pairs[-1][1].end_mark.index, f"{indent}{service}: {price}\n")


def _with_entry(text: str, entry: PriceFor) -> str:
    written = entry.model_dump(mode="json", exclude_defaults=True)
    line = json.dumps({**written, **_texts(entry)}, ensure_ascii=False)
    narrow = _top_level(text).get("for_some")
    if not isinstance(narrow, yaml.SequenceNode) or not narrow.value:
        return f"{text.rstrip()}\n\nfor_some:\n  - {line}\n"
    if narrow.flow_style:
        raise ArrivalError("for_some is not written an entry a line: change it by hand")
    wanted = _vehicles_of(written)
    for node in narrow.value:
        if _vehicles_of(yaml.safe_load(text[node.start_mark.index : node.end_mark.index])) == wanted:
            rest = text[node.end_mark.index :]
            end = "" if node.flow_style else "\n"
            return text[: node.start_mark.index] + line + end + rest
    indent = " " * narrow.start_mark.column
    last = narrow.value[-1]
    return _after(text.rstrip() + "\n", _end_of(text, last), f"{indent}- {line}\n")


def _texts(entry: PriceFor) -> dict[str, Any]:
    versions = {str(language): words for language, words in entry.name.versions.items()}
    own = list(versions.values())
    prices = {name: _plain(value) for name in ("price", "hours", "parts") if (value := getattr(entry, name))}
    return {"name": own[0] if len(own) == 1 else versions, **prices}


def _plain(price: Any) -> str:
    low, high = price.low, price.high
    amount = str(low) if low == high else f"{low}-{high}"
    return f"{amount} from memory" if price.from_memory else amount


def _vehicles_of(entry: Mapping[str, Any]) -> Mapping[str, str]:
    """Return the service and the conditions of an entry, in a form that can be compared."""
    return {
        key: " ".join(map(str, value)) if isinstance(value, list) else str(value)
        for key, value in entry.items()
        if key not in SAYS_WHAT_IT_COSTS
    }


def _top_level(text: str) -> dict[str, yaml.Node]:
    try:
        tree = yaml.compose(text, Loader=yaml.SafeLoader)
    except yaml.YAMLError:
        raise ArrivalError(f"{FILE} cannot be read; sitegen check says where") from None
    if not isinstance(tree, yaml.MappingNode) or tree.flow_style:
        raise ArrivalError(f"{FILE} is not written a key a line: change it by hand")
    return {str(key.value): value for key, value in tree.value}


def _pairs(node: yaml.Node | None) -> Sequence[tuple[yaml.Node, yaml.Node]]:
    if isinstance(node, yaml.MappingNode):
        if node.flow_style:
            raise ArrivalError("prices is not written a price a line: change it by hand")
        return tuple(node.value)
    return ()


def _end_of(text: str, node: yaml.Node) -> int:
    """Return the end of the last line of a node. The parser extends a block to the start of the next node."""
    return len(text[: node.end_mark.index].rstrip())


def _after(text: str, place: int, line: str) -> str:
    """Return the text with a line inserted below the line of a position."""
    end = text.find("\n", place)
    return f"{text}\n{line}" if end < 0 else text[: end + 1] + line + text[end + 1 :]
