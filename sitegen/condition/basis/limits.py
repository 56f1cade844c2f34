"""Choose the region's inspection figure that applies to a vehicle."""

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
    """Return the first figure that applies, or None if the region has none.

    Without a recorded weight rating, the vehicle counts as a car or light truck. Without a recorded attachment, every
    figure applies; the stricter is listed first. 49 CFR 570.62(a): at 12,000 lb a front tire needs 4/32 in.
    """
    for limit in limits:
        fits_weight = limit.up_to_pounds is None or (gross_weight_pounds or 0) <= limit.up_to_pounds
        fits_axle = limit.axle in (None, axle)
        fits_attachment = limit.attachment is None or attachment in (None, limit.attachment)
        if fits_weight and fits_axle and fits_attachment:
            return as_limit(limit)
    return None


def marks(figures: Figures) -> tuple[Depth, ...]:
    """Return every depth that treads and linings are compared with in a region."""
    inspection = (*figures.region.tread_limits, *figures.region.lining_limits)
    practice = (figures.tires.plan_at, figures.brakes.replace_pads_at, figures.brakes.replace_shoes_at)
    return tuple(figure.value for figure in (*inspection, *practice))


def as_limit(figure: DepthFigure) -> Limit:
    """Return a reference figure as a limit for measurements."""
    return Limit(figure.value, figure.source, figure.known)
