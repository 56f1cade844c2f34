"""Parse a tire size from a sidewall: overall diameter, load and speed.

Notations: metric, with P, LT, ST or T before it and load index and speed symbol behind it (235/65R17 104H,
LT245/75R16 120/116S), and flotation (31x10.50R15LT). Of two load indices the first is for single wheels, the second
for dual wheels. A load range may follow the size: bare (`E`), with LR (`LRE`), or after a slash (LT235/80R17/E).
Geometry is nominal: the rolling circumference is a few percent smaller (common practice).
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from sitegen.condition.basis.findings import TireSize
from sitegen.records.quantities import MILLIMETRES_PER_INCH

_METRIC = re.compile(
    r"(?P<before>P|LT|ST|T)? ?(?P<width>\d{3})/(?P<aspect>\d{2,3}) ?(?:ZR|R|D|B|-)F? ?(?P<rim>\d{2}(?:\.5)?)"
    r"(?:LT|C)?(?P<rest>(?:[ ,]+\S+)*)"
)
_FLOTATION = re.compile(
    r"(?P<diameter>\d{2}(?:\.\d{1,2})?)[xX×](?P<width>\d{1,2}\.\d{2}) ?(?:R|D|B|-) ?(?P<rim>\d{2}(?:\.5)?)"
    r"(?:LT)?(?P<rest>(?:[ ,]+\S+)*)"
)
_LOAD_AND_SPEED = re.compile(r"\(?(?P<load>\d{2,3})(?:/(?P<dual>\d{2,3}))?(?P<speed>A[1-8]|[B-HJ-NP-WY])\)?")
_LOAD_RANGE = re.compile(r"(?:LR|LOAD RANGE )?(?P<letter>[B-HJ-NP-Z])(?![A-Z0-9])")
_BEHIND_A_SLASH = re.compile(r"(?<=[0-9C])/(?=[B-H]\b)")


def parse_size(text: str) -> TireSize | None:
    """Return the parsed size, or None if the notation is not known.

    235/65R17 104H has a side of 235 x 65 % = 152.75 mm, and so a diameter of 2 x 152.75 + 17 x 25.4 = 737.3 mm.
    """
    written = _BEHIND_A_SLASH.sub(" ", re.sub(r"\s+", " ", text.strip().upper()))
    if match := _METRIC.fullmatch(written):
        width, rim = Fraction(match["width"]), Fraction(match["rim"])
        diameter = 2 * width * Fraction(match["aspect"]) / 100 + rim * MILLIMETRES_PER_INCH
        size = _with_service(text, width, diameter, rim, match["rest"])
        return replace(size, is_temporary=match["before"] == "T")
    if match := _FLOTATION.fullmatch(written):
        width = Fraction(match["width"]) * MILLIMETRES_PER_INCH
        diameter = Fraction(match["diameter"]) * MILLIMETRES_PER_INCH
        return _with_service(text, width, diameter, Fraction(match["rim"]), match["rest"])
    return None


def _with_service(text: str, width: Fraction, diameter: Fraction, rim: Fraction, rest: str) -> TireSize:
    words = re.split(r"[ ,]+", re.sub(r"\b(?:LOAD RANGE|LR) (?=[B-HJ-NP-Z]\b)", "LR", rest))
    service = next((match for word in words if (match := _LOAD_AND_SPEED.fullmatch(word))), None)
    load_range = next((match["letter"] for word in words if (match := _LOAD_RANGE.fullmatch(word))), None)
    return TireSize(
        written=text,
        section_width=width,
        diameter=diameter,
        rim=rim,
        load_index=int(service["load"]) if service else None,
        speed_symbol=service["speed"] if service else None,
        load_index_dual=int(service["dual"]) if service and service["dual"] else None,
        load_range=load_range,
    )


def worn_diameter(diameter: Fraction, new: Fraction, now: Fraction) -> Fraction:
    """Return the diameter of an evenly worn tire. All arguments are in millimetres.

    P225/65R17 (724.3 mm) worn from 10/32 in to 7/32 in: 724.3 - 2 x 3 x 0.79375 = 719.5375 mm.
    """
    return diameter - 2 * (new - now)
