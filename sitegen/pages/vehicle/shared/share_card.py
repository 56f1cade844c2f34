"""The picture of a shared link, in the words and figures of the page it leads to: planned here, drawn later."""

from __future__ import annotations

from sitegen.pages.frame.frame import ShareImage, Surroundings
from sitegen.pages.frame.page import ShareDrawing
from sitegen.pages.vehicle.condition_page import ConditionPage
from sitegen.pages.vehicle.shared.json_ld import full_address
from sitegen.photos.deriving.share_picture import HEIGHT, WIDTH, CardFigure, ShareCard, share_picture_name
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.vehicle_record import VehicleRecord

FIGURES_SHOWN = 3


def share_drawing(
    record: VehicleRecord, page: ConditionPage, pictures: Pictures, around: Surroundings
) -> tuple[ShareDrawing, ShareImage]:
    """Return the share picture that a vehicle's page wants, and how the page names it.

    It shows the first photo, the name, and the first three key figures.
    """
    figures = tuple(CardFigure(figure.name, figure.value) for figure in page.key_figures[:FIGURES_SHOWN])
    photo = pictures.of(record.stock, record.photos[0].file) if record.photos else None
    settings = around.settings
    card = ShareCard(page.identity.name, figures, settings.name, around.theme.share_style, photo)
    name = share_picture_name(card)
    told = around.translator.listed_plainly(f"{figure.label}: {figure.figure}" for figure in figures)
    words = around.translator.say("share.words", vehicle=page.identity.name, figures=told)
    image = ShareImage(full_address(name, settings), words, WIDTH, HEIGHT)
    return ShareDrawing(f"pictures/{name}", card), image
