"""The sentences about the brake of one wheel."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.condition.basis.findings import BrakeFinding
from sitegen.condition.basis.remarks import renewal_remarks, share_figures, share_of
from sitegen.condition.basis.values import KnownBy, Limit, Said, Value, Word
from sitegen.records.figures import BrakeFigures
from sitegen.records.quantities import Depth


def brake_remarks(finding: BrakeFinding, figures: BrakeFigures) -> Iterator[Said]:
    """Yield the sentences about one brake, the most important first."""
    yield from renewal_remarks("brake", finding.renewed)
    if finding.renewed is not None and not finding.renewed.promised:
        return
    if finding.thinnest is None:
        yield Said("brake.not_measured")
    else:
        yield from _lining(finding, finding.thinnest)
    if finding.difference is not None and finding.difference >= figures.uneven_from.value:
        yield Said("brake.uneven", {"difference": finding.difference})
    yield from _metal(finding)


def thickness(thinnest: Depth, limit: Limit) -> dict[str, Value]:
    """Return the figures for a sentence that compares the thinnest lining with its limit."""
    return {"thinnest": thinnest, "limit": limit.value}


def _lining(finding: BrakeFinding, thinnest: Depth) -> Iterator[Said]:
    figures: dict[str, Value] = {
        "thinnest": thinnest,
        "place": Word(f"lining.{finding.thinnest_place}"),
        "replace_at": finding.replace_at.value,
    }
    lining = "shoe" if finding.kind == "drum" else "pad"
    if finding.limit is not None and finding.below_limit:
        yield Said(f"brake.{lining}.below_limit", {**figures, "limit": finding.limit.value})
    elif thinnest <= finding.replace_at.value:
        yield Said(f"brake.{lining}.replace", figures)
    else:
        yield Said(f"brake.{lining}.above", figures)
    if finding.usable is None or finding.below_limit:
        return
    if finding.new.known_by is KnownBy.TYPICAL:
        new: dict[str, Value] = {"new_low": finding.new.low, "new_high": finding.new.high}
        yield Said("brake.usable_typical", {**share_figures(finding.usable), **new})
    elif thinnest > finding.new.low:
        yield Said("brake.more_than_new", {"thinnest": thinnest, "new": finding.new.low})
    else:
        yield Said("brake.usable", {"share": share_of(finding.usable.low), "new": finding.new.low})


def _metal(finding: BrakeFinding) -> Iterator[Said]:
    part = "drum" if finding.kind == "drum" else "rotor"
    if finding.metal is None:
        if finding.kind != "not known":
            yield Said(f"brake.{part}.not_measured")
    elif finding.discard is not None and finding.metal_margin is not None:
        figures: dict[str, Value] = {
            "metal": finding.metal,
            "discard": finding.discard,
            "margin": finding.metal_margin,
        }
        if finding.metal_beyond_discard:
            yield Said(f"brake.{part}.beyond_discard", figures)
        else:
            at_discard = finding.metal_margin.millimetres == 0
            yield Said(f"brake.{part}.at_discard" if at_discard else f"brake.{part}.above_discard", figures)
    elif finding.discard_marked is False:
        yield Said(f"brake.{part}.not_marked", {"metal": finding.metal})
    else:
        yield Said(f"brake.{part}.no_discard", {"metal": finding.metal})
