"""Classify remarks: those that need attention are shown at once, those that only inform are in the details."""

from __future__ import annotations

from collections.abc import Iterable

from sitegen.condition.basis.values import Said

# Remarks that repeat a ruler, a list of figures or the kind of a defect beside them. They are not shown.
SHOWN_ALREADY = frozenset(
    (
        *("tire.above_limit", "tire.no_limit", "tire.not_measured"),
        *("brake.pad.above", "brake.shoe.above", "brake.not_measured"),
        *("battery.not_tested", "brake_fluid.not_tested", "coolant.not_tested", "coolant.freezes_at"),
        *("traction_battery.not_measured", "traction_battery.range"),
        *("rust.surface", "rust.wheel"),
    )
)

# Remarks that only inform.
QUIET = frozenset(
    (
        *("tire.usable", "tire.usable_typical", "tire.wear.even", "tire.wear.aligned", "tire.load_and_speed"),
        *(
            "tire.temporary_spare",
            "tire.load_and_speed_dual",
            "tire.load_of_spare",
            "tire.load_range",
            "tire.pressure",
        ),
        *("tires.assumed_weight", "tires.placard_size", "tires.placard_size_by_axle"),
        *("tires.placard_pressure", "tires.placard_pressure_by_axle"),
        *("tires.near_on_axle", "tires.alike_on_axle", "tire.temporary_spare"),
        *("tire.age", "tire.age_under_one", "tire.date_code.not_recorded", "tire.date_code.not_visible"),
        *("brake.usable", "brake.usable_typical", "brake.rotor.not_measured", "brake.drum.not_measured"),
        *("brake.rotor.above_discard", "brake.rotor.not_marked", "brake.rotor.no_discard"),
        *("brake.drum.above_discard", "brake.drum.not_marked", "brake.drum.no_discard"),
        *("brakes.parking_brake.good", "battery.good", "battery.age", "battery.age_under_one"),
        *("battery.charge.charged", "battery.charge.three_quarters", "battery.age_not_known"),
        *("brake_fluid.good", "brake_fluid.grade", "brake_fluid.grade_silicone"),
        *("traction_battery.above_floor", "traction_battery.vehicle_display", "traction_battery.diagnostic_tool"),
        *("traction_battery.capacity_test", "paint.usual", "rust.degree"),
    )
)


def notable(remarks: Iterable[Said]) -> list[Said]:
    """Return the remarks that need attention."""
    return [said for said in remarks if said.key not in QUIET | SHOWN_ALREADY]


def quiet(remarks: Iterable[Said]) -> list[Said]:
    """Return the remarks that only inform."""
    return [said for said in remarks if said.key in QUIET]
