"""The views of disclosed defects, numbered in walk order and grouped by station."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from sitegen.condition.basis.findings import Condition, RustFinding
from sitegen.pages.frame.addresses import Address
from sitegen.pages.language.translator import Text, Translator
from sitegen.pages.vehicle.defects.card_sizes import size_in_millimetres, size_words
from sitegen.pages.vehicle.defects.pictures import PictureView, Slot, picture_view
from sitegen.pages.vehicle.defects.size_drawing import SizeDrawing, size_drawing
from sitegen.pages.vehicle.defects.standing import effects_of
from sitegen.pages.vehicle.measured.remark_weight import notable, quiet
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.base import LocalizedText
from sitegen.records.disclosure import WALK_ORDER, Affects, Defect, LeftAsItIs
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class DefectView:
    """Everything that the template shows of one defect."""

    number: int
    anchor: str
    kind: str
    part: Text
    affects: Affects
    affects_words: str
    size: str | None
    """From the record, or else from a card in a photo, or the reason why the card gives none."""
    size_drawing: SizeDrawing | None
    words: Text
    rust: tuple[str, ...]
    """Sentences about the extent of rust and what it requires; empty after it was repaired."""
    degree: str | None
    """The degree of rust on a published scale."""
    because: Text | None
    """The record's reason why it is not more serious than stated."""
    done: Text | None
    done_words: str | None
    put_right: str | None
    pictures: tuple[PictureView, ...]


@dataclass(frozen=True)
class StationDefects:
    """The defects of one station of the walk."""

    station: str
    defects: tuple[DefectView, ...]


def walk_order(defects: Iterable[Defect]) -> list[Defect]:
    """Return defects in the order of the walk's stations."""
    return sorted(defects, key=lambda defect: WALK_ORDER[defect.where.station])


def defects_by_station(
    record: VehicleRecord, condition: Condition, pictures: Pictures, at: Address, translator: Translator
) -> tuple[StationDefects, ...]:
    """Return every defect, numbered in walk order and grouped by station."""
    effects = effects_of(record, condition)
    settled = {slug: work for work in record.work_done for slug in work.settles}
    promised = {slug: promise for promise in record.before_delivery for slug in promise.settles}
    rust = {found.defect: translator.sentences(notable(found.remarks)) for found in condition.of(RustFinding)}
    degrees = {found.defect: translator.sentences(quiet(found.remarks)) for found in condition.of(RustFinding)}

    def view(number: int, defect: Defect) -> DefectView:
        slot = Slot.DEFECT if len(defect.photos) > 1 else Slot.DEFECT_ALONE
        millimetres = size_in_millimetres(defect, pictures, record.stock)
        put_right = None
        if defect.id in settled:
            put_right = translator.say("defects.settled", day=settled[defect.id].on)
        elif defect.id in promised:
            put_right = translator.say("defects.promised")
        return DefectView(
            number=number,
            anchor=defect.id,
            kind=translator.choice("kind", defect.kind),
            part=translator.text(defect.where.part),
            affects=effects[defect.id],
            affects_words=translator.choice("affects", effects[defect.id]),
            size=size_words(defect, pictures, record.stock, translator),
            size_drawing=size_drawing(millimetres, translator) if millimetres else None,
            words=translator.text(defect.words),
            rust=() if defect.id in settled else rust.get(defect.id, ()),
            degree=None if defect.id in settled else next(iter(degrees.get(defect.id, ())), None),
            because=translator.text(defect.because) if defect.because else None,
            done=translator.text(defect.done) if isinstance(defect.done, LocalizedText) else None,
            done_words=_done_words(defect, put_right, translator),
            put_right=put_right,
            pictures=tuple(
                picture_view(pictures, record.stock, photo, at, translator, slot, number=number)
                for photo in defect.photos
            ),
        )

    numbered = enumerate(walk_order(record.defects), start=1)
    by_station = groupby(numbered, key=lambda pair: pair[1].where.station)
    return tuple(
        StationDefects(translator.choice("station", station), tuple(view(*pair) for pair in pairs))
        for station, pairs in by_station
    )


def _done_words(defect: Defect, put_right: str | None, translator: Translator) -> str | None:
    """Return the words before the work on a defect, or that nothing was done, or that neither is noted.

    Return None for a repaired defect about which nothing more is noted.
    """
    if defect.done is None:
        return None if put_right else translator.say("defects.done_not_noted")
    return translator.say("defects.not_done" if isinstance(defect.done, LeftAsItIs) else "defects.done")


def counted_by_effect(
    record: VehicleRecord, condition: Condition, translator: Translator
) -> tuple[tuple[Affects, str], ...]:
    """Return the number of defects of each effect in words. Effects without a defect are left out."""
    effects = list(effects_of(record, condition).values())
    counts = {affects: effects.count(affects) for affects in Affects}
    return tuple(
        (affects, translator.count(f"defects.count.{affects}", count)) for affects, count in counts.items() if count
    )
