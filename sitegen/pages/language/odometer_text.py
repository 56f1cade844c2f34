"""Write an odometer reading, with a caveat if it is not the mileage (49 CFR 580.5(e))."""

from __future__ import annotations

from sitegen.pages.language.translator import Translator
from sitegen.records.quantities import Distance
from sitegen.records.vehicle import OdometerStatement
from sitegen.records.vehicle_record import VehicleRecord

UNRELIABLE_ODOMETER = (OdometerStatement.NOT_ACTUAL, OdometerStatement.EXCEEDS_MECHANICAL_LIMITS)
"""The statements with which a reading is not the mileage: it is never shown without them (49 CFR 580.5(e))."""


def reading_words(reading: Distance, record: VehicleRecord, translator: Translator) -> str:
    """Return a reading of the vehicle's odometer, with a caveat if its statement says that it is not the mileage."""
    statement, written = record.odometer.statement, translator.formats.odometer(reading)
    if statement not in UNRELIABLE_ODOMETER:
        return written
    return translator.say(f"identity.odometer_{statement.replace(' ', '_')}", reading=written)
