"""Sentences and figures that several judges share."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from sitegen.condition.basis.values import Renewal, Said, Span, Value
from sitegen.records.quantities import Share


def renewal_remarks(part: str, renewal: Renewal | None) -> Iterator[Said]:
    """Yield the sentence about a part that was renewed after the inspection, or will be.

    Nothing without a renewal.
    """
    if renewal is None:
        return
    if renewal.on is None:
        yield Said(f"{part}.renewal_promised", {"what": renewal.what})
    else:
        yield Said(f"{part}.renewed", {"what": renewal.what, "on": renewal.on})


def share_of(value: Fraction) -> Share:
    """Return a fraction as a share, which pages show in whole percent."""
    return Share(value, f"{float(value):.0%}")


def share_figures(share: Span) -> dict[str, Value]:
    """Return the `low` and `high` figures of a share that is a range."""
    return {"low": share_of(share.low), "high": share_of(share.high if share.high is not None else share.low)}
