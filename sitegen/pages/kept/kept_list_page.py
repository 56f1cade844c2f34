"""The page of a list of vehicles that a shopper keeps. The page's address holds the list, with each one's version.

`kept/?vehicles=K102.3.1f2e9c,K104` is K102 in version 3 (then the first 6 digits of its record's SHA-256), and K104
in its present version. A script reads the address and shows the changes since, from the `changes.js` beside each
vehicle's page. This module provides its texts.
"""

from __future__ import annotations

import posixpath
from dataclasses import dataclass

from markupsafe import Markup

from sitegen.pages.frame.addresses import INDEX, Address, changes_file, inventory_page, vehicle_page
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.page import Page, page_of
from sitegen.pages.frame.script_data import script_json

WORDS = (
    *("list_changed", "list_as_kept", "list_not_here", "list_not_known", "list_unread", "list_beyond"),
    *("stock", "unknown"),
)


@dataclass(frozen=True)
class KeptListPage:
    """The page as built, before its script reads the address. In links, a star stands for a stock number."""

    vehicle: str
    changes: str
    pictures: str
    inventory: str
    comparison: str
    script_data: Markup


def kept_list_address(language_folder: str) -> Address:
    """Return the address of the page that shows a shopper's list."""
    return Address(posixpath.join(language_folder, "kept", INDEX))


def kept_list(comparison: Address, around: Surroundings) -> Page:
    """Compose the page that shows a shopper's list, with a link to the comparison.

    It is hidden from search engines.
    """
    at, translator = kept_list_address(around.language_folder), around.translator
    heading, about = translator.say("kept.list_heading"), translator.say("kept.list_about")
    frame = around.frame(at, heading, about, kept_from_search=True)
    views = {"page": _page(at, comparison, around)}
    return page_of(around, frame, at, "pages/kept.html", views, listed=False)


def _page(at: Address, comparison: Address, around: Surroundings) -> KeptListPage:
    any_vehicle = vehicle_page("*", around.language_folder)
    messages = around.translator.catalog.messages
    return KeptListPage(
        vehicle=_with_star(at.to(any_vehicle.file)),
        changes=_with_star(at.to(changes_file(any_vehicle))),
        pictures=f"{at.to('pictures')}/",
        inventory=at.to(inventory_page(around.language_folder).file),
        comparison=at.to(comparison.file),
        script_data=script_json(
            {
                **{name: messages[f"kept.{name}"][0] for name in WORDS},
                "named_as": messages["identity.stock"][0],
                "take_out": messages["compare.remove"][0],
            }
        ),
    )


def _with_star(link: str) -> str:
    return link.replace("%2A", "*")
