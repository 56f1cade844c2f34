"""The picture of a shared link to the store itself: its lists, its own pages, its comparison."""

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
    """Return the share picture of the store, and how pages name it: one for all of them in one language.

    It shows the photo of the vehicle that the list begins with, how many are for sale, and their prices. None where
    no vehicle for sale has a photo.
    """
    shown = next((found for found in listings if found.photo), None)
    if shown is None or shown.photo is None:
        return None
    translator, settings = around.translator, around.settings
    figures = [CardFigure(translator.say("inventory.heading"), translator.formats.number(len(listings)))]
    prices = [found.record.price for found in listings if found.record.price is not None]
    if prices:
        figures.append(
            CardFigure(translator.say("compare.price"), translator.formats.money_range(min(prices), max(prices)))
        )
    photo = pictures.of(shown.record.stock, shown.photo.file)
    host = urlsplit(settings.base_address).netloc
    card = ShareCard(settings.name, tuple(figures), host, around.theme.share_style, photo)
    name = share_picture_name(card)
    told = translator.listed_plainly(f"{figure.label}: {figure.figure}" for figure in figures)
    words = translator.say("share.words", vehicle=settings.name, figures=told)
    return ShareDrawing(f"pictures/{name}", card), ShareImage(full_address(name, settings), words, WIDTH, HEIGHT)
