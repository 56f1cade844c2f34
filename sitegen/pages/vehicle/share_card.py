"""The picture that a shared link shows, in the words and figures of the page it leads to."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sitegen.pages.frame.frame import ShareImage, Surroundings
from sitegen.pages.vehicle.condition_page import ConditionPage
from sitegen.pages.vehicle.json_ld import full_address
from sitegen.photos.deriving.share_picture import HEIGHT, WIDTH, CardFigure, ShareCard, make_share_picture
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.vehicle_record import VehicleRecord

FIGURES_SHOWN = 3


@dataclass(frozen=True)
class SharePicture:
    """The picture's file in the site and where it is now, and how the page names it."""

    file: str
    path: Path
    image: ShareImage


def share_picture(
    record: VehicleRecord, page: ConditionPage, pictures: Pictures, around: Surroundings
) -> SharePicture:
    """Return the share picture of a vehicle: photo, name, and the first three key figures."""
    figures = tuple(CardFigure(figure.name, figure.value) for figure in page.key_figures[:FIGURES_SHOWN])
    photo = pictures.of(record.stock, record.photos[0].file) if record.photos else None
    settings = around.settings
    card = ShareCard(page.identity.name, figures, settings.name, photo)
    name, path = make_share_picture(card, pictures, settings.theme)
    told = around.translator.listed_plainly(f"{figure.label}: {figure.figure}" for figure in figures)
    words = around.translator.say("share.words", vehicle=page.identity.name, figures=told)
    return SharePicture(f"pictures/{name}", path, ShareImage(full_address(name, settings), words, WIDTH, HEIGHT))
