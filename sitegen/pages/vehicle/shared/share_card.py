"""Plan the share picture of a vehicle's page: its photo, name and figures. It is drawn later."""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.pages.frame.frame import ShareImage, Surroundings
from sitegen.pages.frame.page import ShareDrawing
from sitegen.pages.language.translator import Translator
from sitegen.pages.vehicle.condition_page import ConditionPage
from sitegen.pages.vehicle.shared.json_ld import full_address
from sitegen.photos.deriving.share_picture import HEIGHT, WIDTH, CardFigure, ShareCard, share_picture_name
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.vehicle_record import VehicleRecord

FIGURES_SHOWN = 3


def share_figures(page: ConditionPage, translator: Translator) -> tuple[CardFigure, ...]:
    """Return the figures of a share picture: the worst standing fact, key figures, and the figure to plan with."""
    stands = [] if page.headline is None else [CardFigure(translator.say("share.stands"), page.headline)]
    shown = [*stands, *(CardFigure(figure.name, figure.value) for figure in page.key_figures[:FIGURES_SHOWN])]
    if page.outlook.plan is not None:
        due, no_record, _ = page.outlook.plan.sums
        label, figure = translator.say("inventory.upkeep"), due.about
        if no_record.likely:
            label, figure = translator.say("share.upkeep"), f"{due.about} + {no_record.about}"
        shown.append(CardFigure(label, figure))
    return tuple(shown)


def share_card(
    record: VehicleRecord, name: str, figures: Sequence[CardFigure], pictures: Pictures, around: Surroundings
) -> ShareCard:
    """Return the content of a vehicle's share picture: its first photo, its name, and its figures."""
    photo = pictures.of(record.stock, record.photos[0].file) if record.photos else None
    return ShareCard(name, tuple(figures), around.settings.name, around.theme.share_style, photo)


def share_drawing(card: ShareCard) -> ShareDrawing:
    """Return the drawing request for a share picture."""
    return ShareDrawing(f"pictures/{share_picture_name(card)}", card)


def share_image(card: ShareCard, around: Surroundings) -> ShareImage:
    """Return a page's reference to its share picture: address, text alternative and size."""
    described = around.translator.listed_plainly(f"{figure.label}: {figure.figure}" for figure in card.figures)
    words = around.translator.say("share.words", vehicle=card.title, figures=described)
    return ShareImage(full_address(share_picture_name(card), around.settings), words, WIDTH, HEIGHT)
