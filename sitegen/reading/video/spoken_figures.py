"""Compare figures that are spoken in a film, as its captions hold them, with the record's.

Only figures whose unit leaves no doubt are compared: 32nds of an inch are tread, and stand for nothing else.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction

from sitegen.reading.video.cues import PlacedCue
from sitegen.records.problems import Problem, Severity
from sitegen.records.vehicle import Wheel
from sitegen.records.vehicle_record import VehicleRecord

_TREAD = re.compile(r"\b(\d{1,2})(?:/32\b|[ -]thirty-?seconds?\b)", re.IGNORECASE)


def check_spoken_figures(cues: Iterable[PlacedCue], record: VehicleRecord, shown_as: str) -> Iterator[Problem]:
    """Yield a warning for each tread depth spoken in a film's captions that no tire of the record has.

    Yield nothing if the record has no tread depth.
    """
    depths = sorted(set(_treads(record)))
    if not depths:
        return
    written = ", ".join(f"{depth}/32" for depth in depths)
    for placed in cues:
        for said in _TREAD.finditer(placed.cue.text):
            if Fraction(said[1]) not in depths:
                found = f'"{said[0]}" in what is said, and in the record {written}'
                mend = "film it again, or measure again, and mend the captions or the record"
                expected = "the figures of the record"
                yield Problem(shown_as, placed.times_line, 1, "", found, expected, mend, Severity.WARNING)


def _treads(record: VehicleRecord) -> Iterator[Fraction]:
    """Yield each measured tread depth in 32nds of an inch, as a gauge shows it: a whole number."""
    for wheel in Wheel:
        tire = record.tires.at(wheel)
        for depth in tire.tread.measured() if tire is not None and tire.tread is not None else ():
            yield Fraction(round(depth.thirty_seconds))
