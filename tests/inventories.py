"""Generate many different vehicles from a fixed seed, as changes to the builders' base vehicle."""

from __future__ import annotations

import random
from collections.abc import Iterator

from sitegen.reading.checks.vin import check_digit
from tests.builders import Plain

MODELS = {
    "hatchback": ("Norrin Calla", "Lumen Ionette"),
    "sedan": ("Halden Corto", "Brevik Marrow"),
    "suv": ("Brevik Fjordline", "Tarn Heath", "Halden Alto"),
    "minivan": ("Brevik Skerry",),
    "pickup": ("Tarn Ridgeway", "Oxbow Drover"),
    "wagon": ("Norrin Tarrant",),
}
DRIVES = ("fwd", "awd", "4wd", "rwd")
COLORS = ("dark red metallic", "light blue", "white", "forest green", "silver", "sand")


def varied_vehicles(count: int, seed: int = 6) -> Iterator[Plain]:
    """Yield the changes of so many vehicles, stock numbers from N00000 on. Each has the two photos of the base."""
    dice = random.Random(seed)
    for number in range(count):
        body = dice.choice(tuple(MODELS))
        make, model = dice.choice(MODELS[body]).split()
        miles, treads = dice.randrange(9_000, 190_000), [dice.randint(3, 10) for _ in range(4)]
        yield {
            "stock": f"N{number:05}",
            "vin": numbered_vin(number),
            "listed_on": f"2026-10-{dice.randint(5, 28):02}",
            "price": dice.randrange(2_900, 61_000, 50),
            "vehicle": {
                **{"make": make, "model": model, "body": body, "drive": dice.choice(DRIVES)},
                "color": dice.choice(COLORS),
            },
            "odometer": {"reading": f"{miles:,} mi"},
            "earlier_readings": [],
            "inspection": {"at": f"{miles:,} mi"},
            "services": [],
            "work_done": [],
            "tires": {
                wheel: {"tread": _across(depth), "fitted_at": f"{max(miles - 20_000, 0):,} mi"}
                for wheel, depth in zip(("left_front", "right_front", "left_rear", "right_rear"), treads, strict=True)
            },
            "brakes": {
                wheel: {"fitted_at": "8,000 mi"} for wheel in ("left_front", "right_front", "left_rear", "right_rear")
            },
            **_with_defect(dice.choice(("looks", "looks", "function", None))),
        }


def numbered_vin(number: int) -> str:
    """Return a VIN of model year 2018 on a manufacturer code that is assigned to nobody."""
    bare = f"00ZWA5H40JD{number:06}"
    return f"{bare[:8]}{check_digit(bare)}{bare[9:]}"


def _across(depth: int) -> Plain:
    return dict.fromkeys(("outer", "center", "inner"), f"{depth}/32 in")


def _with_defect(affects: str | None) -> Plain:
    """Return the base vehicle's defect, affecting something else; without one, the photo shows the whole vehicle."""
    photo = {"file": "fog-light.jpg", "shows": "A fog light."}
    if affects is None:
        both = [{"file": "front.jpg", "shows": "The front of the vehicle."}, photo]
        return {"defects": [], "photos": both, "checks": {"fog_lights": "good"}}
    defect = {
        "id": "fog-light-lens",
        "kind": "cracked lens",
        "where": {"station": "front", "part": "left fog light"},
        "affects": affects,
        "words": "A stone has cracked the lens.",
        "photos": [photo],
    }
    return {"defects": [defect]}
