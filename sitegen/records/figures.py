"""Reference figures by which conditions are judged: limits, typical lives and intervals, each with its source.

These types describe the files in `content/reference/`. Every figure has a `source` and says how it is `known`.
"""

from __future__ import annotations

from datetime import date
from enum import StrEnum

from sitegen.records.base import Record
from sitegen.records.quantities import Distance, FilmThickness, Share, Temperature, Voltage
from sitegen.records.reference import Vocabulary
from sitegen.records.sourced import (
    Certainty,
    DepthFigure,
    DepthRange,
    DistanceFigure,
    DistanceRange,
    FilmFigure,
    Life,
    LifeInMonths,
    Months,
    OutlookFigures,
    Positive,
    ShareFigure,
    Sourced,
    WindowForm,
)
from sitegen.records.standing.dangers import Lexicons
from sitegen.records.standing.rules import StandingRules
from sitegen.records.store import Region
from sitegen.records.vehicle import Axle, Drive, Fuel, Transmission
from sitegen.records.wear import FluidGrade
from sitegen.records.wheels.tires import TireKind


class TreadUnit(StrEnum):
    """Unit in which a region shows tread depth."""

    THIRTY_SECONDS = "thirty-seconds"
    MILLIMETRES = "millimetres"


class DistanceUnit(StrEnum):
    """Unit in which a region shows distances."""

    MILES = "mi"
    KILOMETRES = "km"


class PressureUnit(StrEnum):
    """Unit in which a region shows tire pressure."""

    PSI = "psi"
    KILOPASCALS = "kPa"


class TemperatureUnit(StrEnum):
    """Unit in which a region shows temperatures."""

    FAHRENHEIT = "°F"
    CELSIUS = "°C"


class SizeUnit(StrEnum):
    """Unit in which a region shows the size of a visible flaw, such as a scratch."""

    INCHES = "inches"
    CENTIMETRES = "centimetres"


class Attachment(StrEnum):
    """How a brake lining is attached to its shoe."""

    BONDED = "bonded"
    RIVETED = "riveted"


class RegionUnits(Record):
    """Units on a region's pages. Brake linings are shown in millimetres in every region."""

    tread: TreadUnit
    distance: DistanceUnit
    pressure: PressureUnit
    temperature: TemperatureUnit
    size: SizeUnit


class InspectionLimit(DepthFigure):
    """A legal inspection limit. In a list of limits, the first that matches a vehicle's weight and axle applies."""

    up_to_pounds: Positive | None = None
    """Highest gross vehicle weight rating, inclusive, to which the limit applies. None means any weight."""
    axle: Axle | None = None
    attachment: Attachment | None = None


class OdometerExemption(Sourced):
    """Ages and weights from which a vehicle may be sold without an odometer statement."""

    older_model_years_to: Positive
    older_exempt_after_years: Positive
    newer_exempt_after_years: Positive
    above_pounds: Positive

    def exempts_by_weight(self, pounds: int | None) -> bool | None:
        """Return whether a gross vehicle weight rating needs no statement: above 16,000 lb. None if it is unknown."""
        return None if pounds is None else pounds > self.above_pounds

    def exempts_by_age(self, model_year: int, day: date) -> bool:
        """Return whether a vehicle of this model year needs no statement on this day.

        Exempt from January 1 of the model year plus 10 years, or plus 20 years from model year 2011 on.
        Model year 2011 is exempt from January 1, 2031. Source: 49 CFR 580.17(a)(3), (4).
        """
        older = model_year <= self.older_model_years_to
        years = self.older_exempt_after_years if older else self.newer_exempt_after_years
        return date(model_year + years, 1, 1) <= day


class RegionFigures(Record):
    """Contents of `regions/<region>.yaml`."""

    region: Region
    units: RegionUnits
    tread_limits: tuple[InspectionLimit, ...]
    lining_limits: tuple[InspectionLimit, ...]
    average_a_year: DistanceFigure
    """Average distance driven per year."""
    odometer_exemption: OdometerExemption | None = None
    """None if the region requires no odometer statement from the seller."""
    window_form: WindowForm | None = None
    battery_durability: bool = False  # whether new types must keep battery energy as UN GTR No. 22 says


# Tires


class ReadingErrors(Record):
    """Measuring error of a gauge, plus or minus, by the unit of its scale."""

    thirty_seconds: DepthFigure
    millimetres: DepthFigure


class TireAges(Sourced):
    """Ages in years from which a tire should be checked, may be replaced, and should be replaced in any case."""

    check_from_years: Positive
    replace_from_years: Positive
    replace_by_years: Positive


class LoadIndices(Sourced):
    """Load in kilograms that one tire may carry, by load index."""

    kilograms: dict[int, int]


class SpeedSymbols(Sourced):
    """Highest speed in kilometres per hour, by speed symbol."""

    kilometres_an_hour: dict[str, int]


class TireFigures(Record):
    """Contents of `tires.yaml`."""

    new_tread: dict[TireKind, DepthRange]
    new_tread_kind_not_known: DepthRange
    life: Life
    plan_at: DepthFigure
    reading_error: ReadingErrors
    least_history: DistanceFigure
    """Shortest distance since fitting over which the tires' own wear gives a usable rate."""
    uneven_from: DepthFigure
    set_spread: DepthFigure
    """Difference in depth between the tires from which a matched set needs attention."""
    dual_difference: DepthFigure
    pressure_below_placard: ShareFigure
    matched_set: tuple[Drive, ...]
    """Drives that need four matching tires, so that all four are replaced together."""
    ages: TireAges
    load_index: LoadIndices
    speed_symbol: SpeedSymbols
    ends_life: tuple[str, ...]
    """Kinds of defect that end a tire's life at any tread depth."""


# Brakes


class LiningFigures(Record):
    """Typical figures for the brake linings of one axle."""

    new_pads: DepthRange
    pad_life: Life
    pad_life_with_regeneration: Life
    """Life of pads in vehicles whose motor does much of the braking, such as hybrids and electric vehicles."""
    new_shoes: DepthRange
    shoe_life: Life


class BrakeFigures(Record):
    """Contents of `brakes.yaml`."""

    front: LiningFigures
    rear: LiningFigures
    replace_pads_at: DepthFigure
    replace_shoes_at: DepthFigure
    reading_error: DepthFigure
    least_history: DistanceFigure
    regeneration: tuple[Fuel, ...]
    """Fuels of vehicles whose motor does much of the braking."""
    uneven_from: DepthFigure
    """Difference between two linings of a wheel or axle from which the page remarks on it."""


class FluidFigure(Sourced):
    """Lowest boiling points, dry and wet, that 49 CFR 571.116 allows for a grade of brake fluid."""

    base: str
    dry: Temperature
    wet: Temperature


class MoistureFigures(Sourced):
    """Moisture in brake fluid from which to plan a replacement, and from which to replace it."""

    plan_from: Share
    replace_from: Share


class FluidFigures(Record):
    """Contents of `fluids.yaml`."""

    brake_fluid: dict[FluidGrade, FluidFigure]
    moisture: MoistureFigures


# Batteries


class CrankingFigures(Sourced):
    """Limits of tested cranking current as a share of the rated current.

    At or above `good_from` the battery is good; below `replace_below` it needs replacement.
    """

    good_from: Share
    replace_below: Share


class ChargeBand(Record):
    """Lowest resting voltage of one band of charge of a 12 V battery."""

    from_voltage: Voltage
    charge: str
    """One of charged, three quarters, half, low. Not a percentage, because published tables disagree."""


class RestVoltage(Sourced):
    """Bands of charge by resting voltage, from high to low, and the hours of rest before a reading is valid."""

    bands: tuple[ChargeBand, ...]
    rest_hours: Positive


class DurabilityStep(Sourced):
    """Least state of certified energy that type approval requires up to an age or a distance, whichever is first."""

    years: Positive
    distance: Distance
    least: Share


class BatteryFigures(Record):
    """Contents of `batteries.yaml`."""

    cranking: CrankingFigures
    rest_voltage: RestVoltage
    life: LifeInMonths
    durability: tuple[DurabilityStep, ...]
    """In order of age, youngest first."""
    traction_worn_below: ShareFigure
    """Share of its original energy below which a traction battery is commonly called worn out."""
    display_error: ShareFigure
    """Error of the vehicle's own display of battery health."""


# Services that fall due


class Suits(Record):
    """Vehicles to which an interval applies. A field left out places no condition."""

    fuels: tuple[Fuel, ...] | None = None
    drives: tuple[Drive, ...] | None = None
    transmissions: tuple[Transmission, ...] | None = None
    from_year: int | None = None
    belt: bool = False
    """Whether the interval applies only to engines with a timing belt."""


class ServiceInterval(Sourced):
    """Interval of a service: by distance, by months, or by whichever comes first."""

    suits: Suits = Suits()
    distance: DistanceRange | None = None
    months: Months | None = None
    first_distance: DistanceRange | None = None
    """Interval of the factory fill, if it lasts longer than later ones."""


class LookedAt(Record):
    """Check points at which a service is checked, and the words that identify the service in their notes."""

    points: tuple[str, ...]
    named: tuple[str, ...] = ()
    """Words, in any language, in a note or a defect's part that identify this service.

    Empty if the check points concern only this service.
    """


class JudgedByLooking(LookedAt):
    """A service without an interval, and the check points at which it is judged."""

    suits: Suits = Suits()


class IntervalFigures(Record):
    """Contents of `intervals.yaml`. The services are in the order of the maintenance plan.

    Of a service's intervals, the first that suits the vehicle applies.
    """

    services: dict[str, tuple[ServiceInterval, ...]]
    looked_at: dict[str, LookedAt]
    """Services with an interval that a check during the walk-around may bring forward."""
    by_check: dict[str, JudgedByLooking]


# Use, paint, rust


class PaintFigures(Sourced):
    """Paint thickness of a factory finish, and the thicknesses from which added paint or filler is likely."""

    factory_low: FilmThickness
    factory_high: FilmThickness
    added_from: FilmThickness
    filler_from: FilmThickness


class RustGrade(Record):
    """A grade of ISO 4628-3: the share of the painted area that shows rust."""

    grade: str
    area: Share
    words: str
    """Message key of its description."""
    known: Certainty


class RustScale(Record):
    """A published scale of rust on painted steel. Each grade says how its figure is known."""

    source: str

    grades: tuple[RustGrade, ...]


class BodyFigures(Record):
    """Contents of `body.yaml`."""

    paint: PaintFigures
    paint_uneven_from: FilmFigure
    """Difference from the vehicle's thinnest reading at which the page remarks on a panel."""
    rust: RustScale
    rust_kinds: dict[str, str]
    """Kinds of defect that are rust, each with the message key of its explanation."""


class Figures(Record):
    """All reference figures that apply in one region."""

    region: RegionFigures
    tires: TireFigures
    brakes: BrakeFigures
    fluids: FluidFigures
    batteries: BatteryFigures
    intervals: IntervalFigures
    body: BodyFigures
    standing: StandingRules
    lexicons: Lexicons
    outlook: OutlookFigures
    vocabulary: Vocabulary
    """Check points, kinds of defect and services. They are the same in every region."""
