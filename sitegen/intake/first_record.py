"""Generate a vehicle's first `inspection.yaml`: the entered values, and comments for all that is missing. Pure."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence

from sitegen.intake.arrival import Arrival
from sitegen.records.reference import CheckPoint
from sitegen.records.vehicle import ON_THE_GROUND

_PLAIN = set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 -")


def first_record(
    arrival: Arrival, year: int, points: Mapping[str, CheckPoint], photos: Sequence[str], depth: str
) -> str:
    """Return the text of `inspection.yaml`. `depth` is an example of a tread depth in the region's unit.

    The status is `preparing`, and every check point that applies to the vehicle is `not checked`.
    """
    return (
        "\n".join(
            [
                *_entered_values(arrival, year),
                *_measurement_comments(depth),
                *_check_points(arrival, points),
                *_defects_and_photos(photos),
            ]
        )
        + "\n"
    )


def _entered_values(arrival: Arrival, year: int) -> Iterator[str]:
    yield "# yaml-language-server: $schema=../../schemas/inspection.schema.json"
    yield "# Lines with # are not measured, or not said, yet: take the # away and write the figure with its unit."
    yield f"stock: {_quoted(arrival.stock)}"
    status = arrival.status or "preparing"
    yield f"status: {_quoted(status):<22} # preparing | for sale | on hold | sold"
    yield f"price: {_quoted(arrival.price)}" if arrival.price else "# price: ..."
    yield f"vin: {_quoted(arrival.vin)}"
    yield "vehicle:"
    yield f"  year: {year}"
    for key in ("make", "model", "body", "drive", "fuel"):
        yield f"  {key}: {_quoted(getattr(arrival, key))}"
    yield "  # transmission: ...          # automatic, manual, ..."
    yield "  # timing: ...                # belt | chain"
    yield f"odometer: {{reading: {_quoted(arrival.odometer)}, read_on: {_quoted(arrival.on)}}}"
    yield "# title: {brand: ..., checked_on: ...}     # as the title says; none only if it shows none"
    yield "# recalls: {checked_on: ..., open: []}     # as looked up by VIN on that day"
    yield f"sale_terms: {_quoted(arrival.terms)}"
    yield f"inspection: {{done_on: {_quoted(arrival.on)}}}"


def _measurement_comments(depth: str) -> Iterator[str]:
    yield "\n# Not measured yet. Work under the vehicle only where it stands on jack stands or a lift."
    yield "# tires:"
    yield "#   placard_size: ...          # from the door label"
    for wheel in ON_THE_GROUND:
        yield f"#   {wheel}:"
        yield "#     size: ...                # from the sidewall"
        yield '#     date_code: "..."         # four digits: week and year'
        yield f"#     tread: {{outer: ..., center: ..., inner: ...}}    # {depth}"
    yield "# brakes:"
    for wheel in ON_THE_GROUND:
        yield f"#   {wheel}: {{kind: disc, pads: {{inner: ..., outer: ...}}, rotor: ...}}    # 6 mm; 24.1 mm"
        yield f"#   {wheel}: {{kind: drum, shoes: {{leading: ..., trailing: ...}}, drum: ...}}    # 4 mm; 228.6 mm"
    yield "# battery: {tested: ..., rated: ...}         # 540 CCA"
    yield "# brake_fluid: {moisture: ..., tested_on: ...}    # 1.5 %"
    yield "# coolant: {freezes_at: ..., tested_on: ...}      # -34 °F or -37 °C"


def _check_points(arrival: Arrival, points: Mapping[str, CheckPoint]) -> Iterator[str]:
    yield "\n# In the order of the walk: good | attention | not checked | not fitted"
    yield "checks:"
    traits = {arrival.body, arrival.drive, "gasoline" if arrival.fuel == "gas" else arrival.fuel}
    for key, point in points.items():
        if point.applies_to(traits):
            yield f"  {key}: not checked"


def _defects_and_photos(photos: Sequence[str]) -> Iterator[str]:
    yield "\n# defects:"
    yield "#   - {id: ..., kind: ..., where: {station: ..., part: ...}, affects: ..., words: ...}"
    if photos:
        yield "# The photos, in the order in which they were taken. Say what each shows, then take the # away."
        yield "# photos:"
        yield from (f"#   - {{file: {photo}, shows: ...}}" for photo in photos)


def _quoted(text: str) -> str:
    """Return a text as a YAML scalar, in quotes unless it is plain words that YAML cannot take for another type."""
    is_plain = set(text) <= _PLAIN and text[0].isalpha() and text == text.strip()
    reserved = text.casefold() in ("null", "true", "false", "yes", "no", "on", "off", "y", "n")
    return text if is_plain and not reserved else json.dumps(text, ensure_ascii=False)
