"""The reference figures that conditions are judged by: limits, typical lives, intervals, each with its source.

They are data in `content/reference/`; these types say what the files hold. No figure stands without `source` and
`known`, which says how far it can be trusted.
"""

from __future__ import annotations

from datetime import date
from enum import StrEnum

from sitegen.records.base import Record
from sitegen.records.quantities import Distance, FilmThickness, Share, Temperature, Voltage
from sitegen.records.reference import Vocabulary
from sitegen.records.sourced import (
    DepthFigure,
    DepthRange,
    DistanceFigure,
    DistanceRange,
    FilmFigure,
    Known,
    Life,
    LifeInMonths,
    Months,
    Positive,
    ShareFigure,
    Sourced,
)
from sitegen.records.store import Region
from sitegen.records.vehicle import Axle, Drive, Fuel, Transmission
from sitegen.records.wear import FluidGrade, TireKind

# Regions


class TreadUnit(StrEnum):
    """The unit in which a region reads tread."""

    THIRTY_SECONDS = "thirty-seconds"
    MILLIMETRES = "millimetres"


class DistanceUnit(StrEnum):
    """The unit in which a region reads distance."""

    MILES = "mi"
    KILOMETRES = "km"


class PressureUnit(StrEnum):
    """The unit in which a region reads the pressure of tires."""

    PSI = "psi"
    KILOPASCALS = "kPa"


class TemperatureUnit(StrEnum):
    """The unit in which a region reads temperature."""

    FAHRENHEIT = "°F"
    CELSIUS = "°C"


class SizeUnit(StrEnum):
    """The unit in which a region measures what is seen, such as the length of a scratch."""

    INCHES = "inches"
    CENTIMETRES = "centimetres"


class Attachment(StrEnum):
    """How a lining is held on its shoe."""

    BONDED = "bonded"
    RIVETED = "riveted"


class RegionUnits(Record):
    """Units that a region's pages show. Linings are in millimetres everywhere."""

    tread: TreadUnit
    distance: DistanceUnit
    pressure: PressureUnit
    temperature: TemperatureUnit
    size: SizeUnit


class InspectionLimit(DepthFigure):
    """The figure of a region's inspection. The first in the list that fits a vehicle's weight and axle counts."""

    up_to_pounds: Positive | None = None
    """Gross vehicle weight rating up to and including which it applies; none means any."""
    axle: Axle | None = None
    attachment: Attachment | None = None


class OdometerExemption(Sourced):
    """From what age or weight a vehicle may be sold without an odometer statement."""

    older_model_years_to: Positive
    older_exempt_after_years: Positive
    newer_exempt_after_years: Positive
    above_pounds: Positive

    def exempts_by_weight(self, pounds: int | None) -> bool | None:
        """Tell whether a gross vehicle weight rating needs no statement: above 16,000 lb. None where not known."""
        return None if pounds is None else pounds > self.above_pounds

    def exempts_by_age(self, model_year: int, day: date) -> bool:
        """Tell whether a model year needs no statement on a day: 10 years, or from 2011 20 years, from its January 1.

        Model year 2011 is exempt from January 1, 2031. Source: 49 CFR 580.17(a)(3), (4).
        """
        older = model_year <= self.older_model_years_to
        years = self.older_exempt_after_years if older else self.newer_exempt_after_years
        return date(model_year + years, 1, 1) <= day


class RegionFigures(Record):
    """What `regions/<region>.yaml` holds."""

    region: Region
    units: RegionUnits
    tread_limits: tuple[InspectionLimit, ...]
    lining_limits: tuple[InspectionLimit, ...]
    average_a_year: DistanceFigure
    """How far a driver, or a car, goes in a year on average."""
    odometer_exemption: OdometerExemption | None = None
    """Where the region asks the seller for an odometer statement at all."""


# Tires


class ReadingErrors(Record):
    """How far a reading may be off, either way, by the unit that the gauge reads in."""

    thirty_seconds: DepthFigure
    millimetres: DepthFigure


class TireAges(Sourced):
    """Ages in years at which a tire deserves a look, is replaced by some, and by all."""

    check_from_years: Positive
    replace_from_years: Positive
    replace_by_years: Positive


class LoadIndices(Sourced):
    """Load in kilograms that one tire carries, by load index."""

    kilograms: dict[int, int]


class SpeedSymbols(Sourced):
    """Speed in kilometres an hour, by speed symbol."""

    kilometres_an_hour: dict[str, int]


class TireFigures(Record):
    """What `tires.yaml` holds."""

    new_tread: dict[TireKind, DepthRange]
    """Typical depth when new, by kind."""
    new_tread_kind_not_known: DepthRange
    life: Life
    plan_at: DepthFigure
    """Depth at which wet grip is commonly held to fade: time to plan the next set."""
    reading_error: ReadingErrors
    least_history: DistanceFigure
    """With less driven than this since the tires were fitted, their own wear says too little."""
    uneven_from: DepthFigure
    """Difference across one tire from which it counts as uneven."""
    set_spread: DepthFigure
    """Difference over the set from which a matched set asks for care."""
    matched_set: tuple[Drive, ...]
    """Drives whose four tires must match, and so are replaced together."""
    ages: TireAges
    load_index: LoadIndices
    speed_symbol: SpeedSymbols
    ends_life: tuple[str, ...]
    """Kinds of defect that end a tire's life whatever its depth."""


# Brakes


class LiningFigures(Record):
    """Typical figures of the linings of one axle."""

    new_pads: DepthRange
    pad_life: Life
    pad_life_with_regeneration: Life
    """Where the motor does much of the braking: hybrids and electric vehicles."""
    new_shoes: DepthRange
    shoe_life: Life


class BrakeFigures(Record):
    """What `brakes.yaml` holds."""

    front: LiningFigures
    rear: LiningFigures
    replace_pads_at: DepthFigure
    replace_shoes_at: DepthFigure
    reading_error: DepthFigure
    least_history: DistanceFigure
    regeneration: tuple[Fuel, ...]
    """Where the motor does much of the braking."""
    uneven_from: DepthFigure
    """Difference between two linings of one wheel, or of one axle, from which it is worth a remark."""


class FluidFigure(Sourced):
    """Lowest boiling points that 49 CFR 571.116 allows for a grade, dry and wet."""

    base: str
    dry: Temperature
    wet: Temperature


class MoistureFigures(Sourced):
    """Moisture in brake fluid from which to plan, and to replace."""

    plan_from: Share
    replace_from: Share


class FluidFigures(Record):
    """What `fluids.yaml` holds."""

    brake_fluid: dict[FluidGrade, FluidFigure]
    moisture: MoistureFigures


# Batteries


class CrankingFigures(Sourced):
    """Tested against rated cranking current: at or above `good_from` good, below `replace_below` to be replaced."""

    good_from: Share
    replace_below: Share


class ChargeBand(Record):
    """A resting voltage from which a 12 V battery counts as charged so far."""

    from_voltage: Voltage
    charge: str
    """charged, three quarters, half or low: a band, never a percentage, for the tables disagree."""


class RestVoltage(Sourced):
    """Resting voltage to charge, from high to low, and the hours of rest that a reading needs."""

    bands: tuple[ChargeBand, ...]
    rest_hours: Positive


class DurabilityStep(Sourced):
    """State of certified energy that a type-approval floor asks for up to an age and distance, whichever first."""

    years: Positive
    distance: Distance
    least: Share


class BatteryFigures(Record):
    """What `batteries.yaml` holds."""

    cranking: CrankingFigures
    rest_voltage: RestVoltage
    life: LifeInMonths
    durability: tuple[DurabilityStep, ...]
    """By age, the younger step first."""
    traction_worn_below: ShareFigure
    """Share of its first energy below which a traction battery is commonly called worn out."""
    display_error: ShareFigure
    """How far the vehicle's own display of battery health may be off."""


# Services that fall due


class Suits(Record):
    """Which vehicles an interval is for. What is left out does not matter."""

    fuels: tuple[Fuel, ...] | None = None
    drives: tuple[Drive, ...] | None = None
    transmissions: tuple[Transmission, ...] | None = None
    from_year: int | None = None
    belt: bool = False
    """Only for engines whose camshaft is driven by a belt."""


class ServiceInterval(Sourced):
    """How often a service falls due: by distance, by months, or by whichever comes first."""

    suits: Suits = Suits()
    distance: DistanceRange | None = None
    months: Months | None = None
    first_distance: DistanceRange | None = None
    """Where the first fill from the factory lasts longer than the next ones."""


class LookedAt(Record):
    """The check points at which a service is looked at, and the words that speak of it and of nothing else there."""

    points: tuple[str, ...]
    named: tuple[str, ...] = ()
    """Words in a note or in the part of a defect, in any language. None: the points look at nothing else."""


class JudgedByLooking(LookedAt):
    """What has no interval, and the check points that look at it."""

    suits: Suits = Suits()


class IntervalFigures(Record):
    """What `intervals.yaml` holds: per service, in the order of a plan, the first interval that suits counts."""

    services: dict[str, tuple[ServiceInterval, ...]]
    looked_at: dict[str, LookedAt]
    """Services with an interval which the walk-around may call for sooner."""
    by_check: dict[str, JudgedByLooking]


# Use, paint, rust


class PaintFigures(Sourced):
    """Paint thickness: what a factory finish measures, and from where more paint or filler is likely."""

    factory_low: FilmThickness
    factory_high: FilmThickness
    added_from: FilmThickness
    filler_from: FilmThickness


class RustGrade(Record):
    """A grade of ISO 4628-3 and the share of the painted area that shows rust."""

    grade: str
    area: Share
    words: str
    """Message key of the plain words for it."""
    known: Known


class RustScale(Record):
    """A published scale of rust on painted steel. How a figure of it is known differs by grade."""

    source: str

    grades: tuple[RustGrade, ...]


class BodyFigures(Record):
    """What `body.yaml` holds."""

    paint: PaintFigures
    paint_uneven_from: FilmFigure
    """Difference to the thinnest reading on the vehicle from which a panel is worth a remark."""
    rust: RustScale
    rust_kinds: dict[str, str]
    """Kinds of defect that are rust, and the message key of what to say about each."""


class Figures(Record):
    """All reference figures for one region."""

    region: RegionFigures
    tires: TireFigures
    brakes: BrakeFigures
    fluids: FluidFigures
    batteries: BatteryFigures
    intervals: IntervalFigures
    body: BodyFigures
    vocabulary: Vocabulary
    """Check points, kinds of defect and services: the same in every region."""
