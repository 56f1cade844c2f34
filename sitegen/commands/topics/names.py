"""The texts of `sitegen help kinds`, `checks` and `services`: names that files may use, with their English words."""

from __future__ import annotations

from collections.abc import Iterable

from sitegen.commands.topics.tables import NameTable, table
from sitegen.pages.language.catalog import Catalog, read_catalog
from sitegen.reading.reference.reference_files import read_reference
from sitegen.reading.reference.vocabulary import read_vocabulary
from sitegen.records.disclosure import Affects
from sitegen.records.reference import ServiceKeys
from sitegen.shared_data import content_folder

LANGUAGE = "en"


def defect_kinds() -> NameTable:
    """Return a table of the kinds of defect: key, words, usual effect, and synonyms."""
    words = _words()
    return table(
        ("kind", "on the page", "usually affects", "also called"),
        (
            (key, words.say(f"kind.{_message_name(key)}"), kind.usually.value, ", ".join(kind.also))
            for key, kind in read_vocabulary(content_folder()).defect_kinds.items()
        ),
    )


def check_points() -> NameTable:
    """Return a table of the check points in walking order.

    Columns: station, key, words, whether it usually affects safety, and the vehicles that have it.
    """
    words = _words()
    return table(
        ("station", "check point", "on the page", "attention holds the page", "vehicles"),
        (
            (
                point.station.value,
                key,
                words.say(f"point.{key}"),
                "yes" if point.usually is Affects.SAFETY else "",
                _vehicles(point.only_for, point.not_for),
            )
            for key, point in read_vocabulary(content_folder()).check_points.items()
        ),
    )


def services() -> NameTable:
    """Return a table of the services and parts that price lists may name.

    Columns: key, words, when it is due, and whether records name it.
    """
    keys, words = read_reference(ServiceKeys, content_folder(), "services.yaml"), _words()
    groups = (
        (keys.scheduled, "after a distance or a time", "yes"),
        (keys.by_looking, "when the inspection finds it", "yes"),
        (keys.priced, "when it is worn", ""),
    )
    return table(
        ("service", "on the page", "due", "in records"),
        (
            (key, words.say(f"item.{key}") if words.has(f"item.{key}") else key.replace("_", " "), due, in_records)
            for group, due, in_records in groups
            for key in group
        ),
    )


def _words() -> Catalog:
    return read_catalog(content_folder(), LANGUAGE)


def _message_name(key: str) -> str:
    return key.replace(" ", "_")


def _vehicles(only_for: Iterable[str], not_for: Iterable[str]) -> str:
    only, others = ", ".join(only_for), ", ".join(not_for)
    return f"only {only}" if only else f"not {others}" if others else ""
