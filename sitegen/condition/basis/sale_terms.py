"""Judge whether a vehicle must carry the window form with its terms of sale (16 CFR 455.1(d)(2))."""

from __future__ import annotations

from datetime import date

from sitegen.condition.basis.findings import Judged, TermsFinding
from sitegen.records.figures import Figures
from sitegen.records.vehicle_record import VehicleRecord


def judge_terms(record: VehicleRecord, figures: Figures, _as_of: date) -> Judged:
    """Return whether the vehicle must carry the window form.

    A vehicle without a recorded gross weight counts as one that must, which is the safe assumption. In regions
    without such a rule, pages name the contract in place of the form.
    """
    rule, weight = figures.region.window_form, record.vehicle.gross_weight_pounds
    is_outside = rule is not None and weight is not None and weight >= rule.below_pounds
    return Judged((TermsFinding(not is_outside),))
