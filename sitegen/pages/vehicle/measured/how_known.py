"""The sentences that say on which day, by whom and with which gauge figures were measured.

A look is the first inspection, or a visit at which somebody examined the vehicle.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

from sitegen.pages.language.odometer_text import reading_words
from sitegen.pages.language.translator import Text, Translator, join_texts
from sitegen.records.vehicle import Wheel
from sitegen.records.vehicle_record import ValueSource, VehicleRecord
from sitegen.records.visits.current import LOOKED_AT
from sitegen.records.wear import Gauge


def inspected(record: VehicleRecord, translator: Translator) -> Text:
    """Return the day, odometer reading and person of the look with the most figures, then those of later looks."""
    looks = record.looks_at(*LOOKED_AT) if record.looks else (record.first_look(),)
    if len(looks) == 1:
        return _inspected(record, looks[0], "introduction", translator)
    stated = [look.number for path, look in record.looks.items() if path[0] in LOOKED_AT]
    most = max(looks, key=lambda look: (stated.count(look.number), look.number))
    later = [look for look in looks if look.number > most.number]
    return join_texts(
        (
            _inspected(record, most, "introduction", translator),
            *(_inspected(record, look, "again", translator) for look in later),
        )
    )


def how_measured(day: date, gauge: Gauge | None, translator: Translator) -> Text:
    """Return the sentence with the day of the measurement, and the gauge if it is recorded."""
    if gauge is None:
        return translator.tell("measured.how_no_gauge", day=day)
    return translator.tell("measured.how", day=day, gauge=gauge.name)


def how_wheels_measured(
    record: VehicleRecord, paths: Mapping[Wheel, tuple[str, ...]], gauge: Callable[[ValueSource], Gauge | None],
    translator: Translator,
) -> Text:  # fmt: skip
    """Return the sentence about when the wheels were measured, or one for each look if that was on several days.

    `paths` are the paths in the record of the values measured at each wheel.
    """
    looks: dict[int, tuple[ValueSource, list[Wheel]]] = {}
    for wheel, names in paths.items():
        for look in record.looks_at(*names):
            looks.setdefault(look.number, (look, []))[1].append(wheel)
    found = [looks[number] for number in sorted(looks)]
    if len(found) == 1:
        return how_measured(found[0][0].on, gauge(found[0][0]), translator)
    return join_texts(
        translator.tell(
            "measured.at_wheel",
            wheel=translator.listed([translator.say(f"wheel.{wheel}") for wheel in wheels]),
            remarks=join_texts(
                (
                    how_measured(look.on, gauge(look), translator),
                    *((translator.tell("measured.by", who=look.by),) if look.by else ()),
                )
            ),
        )
        for look, wheels in found
    )


def _inspected(record: VehicleRecord, look: ValueSource, key: str, translator: Translator) -> Text:
    distance = look.at or record.odometer.reading
    if distance is None:
        sentence = translator.tell(f"measured.{key}_no_distance", day=look.on)
    else:
        reading = reading_words(distance, record, translator)
        sentence = translator.tell(f"measured.{key}", day=look.on, distance=reading)
    return join_texts((sentence, translator.tell("measured.by", who=look.by))) if look.by else sentence
