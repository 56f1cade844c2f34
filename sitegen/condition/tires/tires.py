"""Judge the tread measurements of each tire: depth left, shape of wear, age, size.

Pure: records in, findings out. Limits and typical figures come from content/reference/tires.yaml and regions/.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

from sitegen.condition.basis.findings import Judged, MadeIn, TireFinding, WearShape
from sitegen.condition.basis.limits import as_limit, limit_for
from sitegen.condition.basis.renewals import is_still_on, renewal_of
from sitegen.condition.basis.values import DepthSpan, KnownBy, Limit, Renewal, Span
from sitegen.condition.outlook.projection import usable_share
from sitegen.condition.tires.date_codes import CodeFault, made_in
from sitegen.condition.tires.tire_outlook import tire_lines
from sitegen.condition.tires.tire_remarks import tire_remarks
from sitegen.condition.tires.tire_sets import set_finding
from sitegen.condition.tires.tire_sizes import parse_size
from sitegen.records.figures import Figures, TireFigures
from sitegen.records.quantities import Depth
from sitegen.records.vehicle import Axle, Wheel
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wheels.tires import Tire, TreadDepths


def judge_tires(record: VehicleRecord, figures: Figures, as_of: date) -> Judged:
    """Return the findings about each tire and the set, and their outlook lines."""
    axles = record.tires.axles
    findings = {
        wheel: find_tire(record, figures, as_of, wheel, axle) for axle, wheels in axles.items() for wheel in wheels
    }
    spare = () if record.tires.spare is None else (find_tire(record, figures, as_of, Wheel.SPARE, Axle.REAR),)
    return Judged(
        findings=(*findings.values(), *spare, set_finding(record, figures, tuple(findings.values()))),
        lines=tire_lines(record, figures, findings, as_of),
    )


def find_tire(record: VehicleRecord, figures: Figures, as_of: date, wheel: Wheel, axle: Axle) -> TireFinding:
    """Return the finding about one tire. A tire that was not measured has a finding too."""
    tire = record.tires.at(wheel) or Tire()
    lowest = tire.tread.lowest() if tire.tread else None
    limit = _limit(record, figures, axle)
    new = new_depth(tire, figures.tires)
    renewal = renewal_of(record, _name(wheel))
    still_on = is_still_on(renewal)
    looked_on = max(as_of, record.inspection.done_on)
    made = made_in(tire.date_code, looked_on) if tire.date_code and tire.date_code.isdigit() else None
    finding = TireFinding(
        wheel=wheel,
        size=parse_size(tire.size) if tire.size else None,
        kind=tire.kind,
        depths=tire.tread,
        lowest=lowest,
        lowest_place=_place_of(lowest, tire.tread),
        limit=limit,
        plan=as_limit(figures.tires.plan_at),
        new=new,
        usable=_usable(lowest, new, limit) if still_on else None,
        of_original=_of_original(lowest, new) if still_on else None,
        shape=wear_shape(tire.tread, figures.tires.uneven_from.value),
        spread=spread(tire.tread),
        made=made if isinstance(made, MadeIn) and still_on else None,
        below_limit=_is_below(lowest, limit, renewal),
        renewed=renewal,
    )
    fault = made if isinstance(made, CodeFault) else None
    return replace(finding, remarks=tire_remarks(finding, tire, fault, record, figures, as_of))


def new_depth(tire: Tire, figures: TireFigures) -> DepthSpan:
    """Return the depth when new: as recorded, or the typical range for its kind, or for any passenger tire."""
    if tire.new_tread is not None:
        return DepthSpan(tire.new_tread, tire.new_tread, KnownBy.FROM_RECORDS)
    typical = figures.new_tread.get(tire.kind) if tire.kind else None
    usual = typical or figures.new_tread_kind_not_known
    return DepthSpan(usual.low, usual.high, KnownBy.TYPICAL)


def spread(tread: TreadDepths | None) -> Depth | None:
    """Return the deepest minus the lowest place across a tire. None unless two places were measured."""
    measured = tread.measured() if tread else ()
    if len(measured) < 2:
        return None
    return Depth.of_millimetres(max(measured).millimetres - min(measured).millimetres)


def wear_shape(tread: TreadDepths | None, uneven_from: Depth) -> WearShape:
    """Return the shape of wear across a tire, or NOT_KNOWN unless three places were measured.

    A spread below `uneven_from` counts as even. 3/32 in inside, 6 and 6 elsewhere is worn on the inner side; 4, 7, 4
    on both shoulders; 7, 4, 7 in the center.
    """
    if tread is None or tread.outer is None or tread.center is None or tread.inner is None:
        return WearShape.NOT_KNOWN
    outer, center, inner = (depth.millimetres for depth in (tread.outer, tread.center, tread.inner))
    if max(outer, center, inner) - min(outer, center, inner) < uneven_from.millimetres:
        return WearShape.EVEN
    if center <= min(outer, inner):
        return WearShape.CENTER if min(outer, inner) - center >= abs(outer - inner) else _worn_side(outer, inner)
    if center - max(outer, inner) >= abs(outer - inner):
        return WearShape.BOTH_SHOULDERS
    return _worn_side(outer, inner)


def _worn_side(outer: Fraction, inner: Fraction) -> WearShape:
    return WearShape.OUTER_SIDE if outer < inner else WearShape.INNER_SIDE


def _name(wheel: Wheel) -> str:
    return f"tires.{wheel.value}"


def _limit(record: VehicleRecord, figures: Figures, axle: Axle) -> Limit | None:
    return limit_for(figures.region.tread_limits, record.vehicle.gross_weight_pounds, axle)


def _is_below(lowest: Depth | None, limit: Limit | None, renewal: Renewal | None) -> bool:
    return lowest is not None and limit is not None and lowest < limit.value and is_still_on(renewal)


def _place_of(lowest: Depth | None, tread: TreadDepths | None) -> str | None:
    if lowest is None or tread is None:
        return None
    return next(place for place in ("outer", "center", "inner") if getattr(tread, place) == lowest)


def _usable(lowest: Depth | None, new: DepthSpan, limit: Limit | None) -> Span | None:
    if lowest is None or limit is None or new.low <= limit.value:
        return None
    now, end = lowest.millimetres, limit.value.millimetres
    return Span(usable_share(now, new.high.millimetres, end), usable_share(now, new.low.millimetres, end))


def _of_original(lowest: Depth | None, new: DepthSpan) -> Span | None:
    if lowest is None:
        return None
    shares = (min(lowest.millimetres / depth.millimetres, Fraction(1)) for depth in (new.high, new.low))
    return Span(*shares)
