"""The share picture of pages that are not about one vehicle: lists, the store's own pages, the comparison."""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import urlsplit

from sitegen.pages.frame.frame import ShareImage, Surroundings
from sitegen.pages.frame.page import ShareDrawing
from sitegen.pages.inventory.card import Listing
from sitegen.pages.vehicle.shared.json_ld import full_address
from sitegen.photos.deriving.share_picture import HEIGHT, WIDTH, CardFigure, ShareCard, share_picture_name
from sitegen.photos.planning.pictures import Pictures


def store_share_drawing(
    listings: Sequence[Listing], pictures: Pictures, around: Surroundings
) -> tuple[ShareDrawing, ShareImage] | None:
    """Return the store's share picture to draw, and its reference for pages. There is one for each language.

    It shows the photo of the first listed vehicle that has one, the number of vehicles for sale, and the range of
    their prices. Return None if no vehicle for sale has a photo.
    """
    shown = next((item for item in listings if item.photo), None)
    if shown is None or shown.photo is None:
        return None
    translator, settings = around.translator, around.settings
    figures = [CardFigure(translator.say("inventory.heading"), translator.formats.number(len(listings)))]
    prices = [item.record.price for item in listings if item.record.price is not None]
    if prices:
        figures.append(
            CardFigure(translator.say("compare.price"), translator.formats.money_range(min(prices), max(prices)))
        )
    photo = pictures.of(shown.record.stock, shown.photo.file)
    host = urlsplit(settings.base_address).netloc
    card = ShareCard(settings.name, tuple(figures), host, around.theme.share_style, photo)
    name = share_picture_name(card)
    described = translator.listed_plainly(f"{figure.label}: {figure.figure}" for figure in figures)
    words = translator.say("share.words", vehicle=settings.name, figures=described)
    return ShareDrawing(f"pictures/{name}", card), ShareImage(full_address(name, settings), words, WIDTH, HEIGHT)
