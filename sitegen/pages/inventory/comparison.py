"""The comparison page. A script fills it from the vehicles' own pages; this module provides its texts and links."""

from __future__ import annotations

import posixpath
from dataclasses import dataclass

from markupsafe import Markup

from sitegen.pages.frame.addresses import INDEX, Address, inventory_page, vehicle_page
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.script_data import script_json
from sitegen.pages.kept.kept_list_page import kept_list_address
from sitegen.pages.vehicle.outlook import LEAST_A_YEAR, MOST_A_YEAR
from sitegen.pages.vehicle.upkeep import SUMS
from sitegen.records.disclosure import Station
from sitegen.records.figures import Figures
from sitegen.records.quantities import METRES_PER_MILE
from sitegen.records.store import miles_a_year

WORDS = (
    *("caption", "remove", "not_listed", "offer", "price", "kind", "odometer", "first", "know_first", "tread"),
    *("lining", "defects", "none_disclosed", "not_looked_at", "costs", "papers", "terms", "equipment"),
    *("stands", "attention", "nothing_noted", "not_checked", "promised"),
    *("only_some_have", "all_have", "lacks", "money", "same", "not_included", "worked_out_again"),
)


COSTS = ("work", "delivery", "purchase", "first_total", "three_total")
"""Rows of what each vehicle costs in all."""


@dataclass(frozen=True)
class ComparisonPage:
    """The page as built, before its script reads which vehicles to compare."""

    vehicle: str
    """Link to a vehicle's page, with a star in place of the stock number."""
    inventory: str
    kept: str
    """Link to the kept list of the vehicles that are compared."""
    question: str
    count_from_today: str
    a_year: int
    least_a_year: int
    most_a_year: int
    script_data: Markup


def comparison_address(language_folder: str) -> Address:
    """Return the address of the comparison page."""
    return Address(posixpath.join(language_folder, "compare", INDEX))


def comparison_link(at: Address, stock: str, language_folder: str) -> str:
    """Return the link from a vehicle's page to a comparison whose first vehicle it is."""
    return f"{at.to(comparison_address(language_folder).file)}?vehicles={stock}"


def comparison_page(figures: Figures, around: Surroundings) -> ComparisonPage:
    """Return the view of the comparison page."""
    translator, folder = around.translator, around.language_folder
    at = comparison_address(folder)
    in_miles = translator.formats.distance_in_miles
    a_year = miles_a_year(around.settings, figures.region.average_a_year.value).metres
    messages = translator.catalog.messages
    script_data = {
        **{name: messages[f"compare.{name}"][0] for name in WORDS},
        "stations": [translator.choice("station", station) for station in Station],
        "sums": [translator.say(f"outlook.sum_{key}") for key in SUMS],
        **{name: translator.say(f"costs.{name}") for name in COSTS},
        "three_years": translator.say("outlook.three_years_together"),
    }
    return ComparisonPage(
        vehicle=at.to(vehicle_page("*", folder).file).replace("%2A", "*"),
        inventory=at.to(inventory_page(folder).file),
        kept=at.to(kept_list_address(folder).file),
        question=translator.say("outlook.your_distance_mi" if in_miles else "outlook.your_distance_km"),
        count_from_today=translator.say("outlook.count_from_today"),
        a_year=int(a_year / (METRES_PER_MILE if in_miles else 1000)),
        least_a_year=LEAST_A_YEAR,
        most_a_year=MOST_A_YEAR,
        script_data=script_json(script_data),
    )
