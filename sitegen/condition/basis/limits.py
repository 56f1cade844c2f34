"""Which of a region's inspection figures fits a vehicle."""

from __future__ import annotations

from collections.abc import Iterable

from sitegen.condition.basis.values import Limit
from sitegen.records.figures import Attachment, Figures, InspectionLimit
from sitegen.records.quantities import Depth
from sitegen.records.sourced import DepthFigure
from sitegen.records.vehicle import Axle


def limit_for(
    limits: Iterable[InspectionLimit],
    gross_weight_pounds: int | None,
    axle: Axle,
    attachment: Attachment | None = None,
) -> Limit | None:
    """Return the first figure that fits, or None where the region gives none.

    A weight rating that is not recorded counts as that of a car or light truck. An attachment that is not recorded
    fits every figure, so the stricter is listed first. 49 CFR 570.62(a): 12,000 lb asks 4/32 in of a front tire.
    """
    for limit in limits:
        fits_weight = limit.up_to_pounds is None or (gross_weight_pounds or 0) <= limit.up_to_pounds
        fits_axle = limit.axle in (None, axle)
        fits_attachment = limit.attachment is None or attachment in (None, limit.attachment)
        if fits_weight and fits_axle and fits_attachment:
            return as_limit(limit)
    return None


def marks(figures: Figures) -> tuple[Depth, ...]:
    """Return every depth that a tread or a lining is held against in a region."""
    inspection = (*figures.region.tread_limits, *figures.region.lining_limits)
    practice = (figures.tires.plan_at, figures.brakes.replace_pads_at, figures.brakes.replace_shoes_at)
    return tuple(figure.value for figure in (*inspection, *practice))


def as_limit(figure: DepthFigure) -> Limit:
    """Return a reference figure as something to hold a measurement against."""
    return Limit(figure.value, figure.source, figure.known)
