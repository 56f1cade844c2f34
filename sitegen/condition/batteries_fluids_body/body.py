"""Judge paint readings, and rate disclosed rust on a published scale.

The scale rates how much of a painted area shows rust, and not strength: a hole, flaking layers or soft metal is a
finding of its own, for a mechanic with a lift.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from sitegen.condition.basis.findings import Judged, PaintFinding, RustFinding
from sitegen.condition.basis.values import Said, Value
from sitegen.records.figures import BodyFigures, Figures, RustGrade, RustScale
from sitegen.records.quantities import FilmThickness, Share
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import PaintReading


def judge_body(record: VehicleRecord, figures: Figures, _as_of: date) -> Judged:
    """Return the findings about paint readings, panel by panel, and about the extent of disclosed rust."""
    thinnest = min((thickness for panel in record.paint for thickness in panel.readings), default=None)
    paint = [] if thinnest is None else [_panel(panel, thinnest, figures.body) for panel in record.paint]
    return Judged((*paint, *_rust(record, figures)))


def _panel(panel: PaintReading, thinnest: FilmThickness, figures: BodyFigures) -> PaintFinding:
    lowest, highest = min(panel.readings), max(panel.readings)
    return PaintFinding(panel.panel, lowest, highest, tuple(_paint(lowest, highest, thinnest, figures)))


def _paint(
    lowest: FilmThickness, highest: FilmThickness, thinnest: FilmThickness, figures: BodyFigures
) -> Iterator[Said]:
    usual = figures.paint
    words: dict[str, Value] = {"low": lowest, "high": highest}
    if highest >= usual.filler_from:
        yield Said("paint.filler", {**words, "from": usual.filler_from})
    elif highest >= usual.added_from:
        yield Said("paint.added", {**words, "from": usual.added_from})
    elif lowest < usual.factory_low:
        yield Said("paint.thin", {**words, "from": usual.factory_low})
    else:
        yield Said("paint.usual", words)
    if highest.amount - thinnest.amount >= figures.paint_uneven_from.value.amount and highest < usual.added_from:
        yield Said("paint.uneven", {"thinnest": thinnest})


def _rust(record: VehicleRecord, figures: Figures) -> Iterator[RustFinding]:
    for defect in record.defects:
        words = figures.body.rust_kinds.get(defect.kind)
        if words is None:
            continue
        grade = None if defect.rusted is None else nearest_grade(defect.rusted, figures.body.rust)
        remarks = [Said(words)]
        if grade is not None and defect.rusted is not None:
            remarks += (Said(grade.words, {"area": defect.rusted}), Said("rust.degree", {"grade": grade.grade}))
        yield RustFinding(defect.id, None if grade is None else grade.grade, tuple(remarks))


def nearest_grade(area: Share, scale: RustScale) -> RustGrade:
    """Return the degree of ISO 4628-3 whose typical area is nearest, or the worse of two equally near.

    The standard compares with pictures. The nearest by percent is this project's convention, and the page says so.
    Any visible rust is above the first degree, which means none.
    """
    none_shows, *others = scale.grades
    if area == none_shows.area:
        return none_shows
    return min(reversed(others), key=lambda grade: abs(grade.area.amount - area.amount))
