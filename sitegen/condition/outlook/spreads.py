"""Levels of the quantities that vary from one vehicle, driver and workshop to the next.

Each spread is given as the range that covers 8 in 10 cases, and is taken as normal about its middle (own assumption).
A few equally likely levels with the same mean and variance replace it, so that the costs can be computed exactly for
each level, and then averaged.
"""

from __future__ import annotations

from statistics import NormalDist

from sitegen.condition.basis.forecast import Spreads
from sitegen.records.sourced import OutlookFigures, SpreadFigure

PRICE_LEVELS, WEAR_LEVELS, DISTANCE_LEVELS = 20, 5, 5
EIGHT_IN_TEN = NormalDist().inv_cdf(0.9)
"""Standard deviations from the mean to each end of the middle 8 in 10 cases: 1.2816."""


def spreads(figures: OutlookFigures) -> Spreads:
    """Return the levels of all spreads."""
    wear = figures.driver_wear
    return Spreads(
        price=levels(figures.price_level, PRICE_LEVELS, 10),
        wear=levels(wear, WEAR_LEVELS),
        distance=levels(figures.yearly_distance, DISTANCE_LEVELS),
        driver_low=wear.low,
        driver_high=wear.high,
        price_range=(figures.price_level.low, figures.price_level.high),
        distance_range=(figures.yearly_distance.low, figures.yearly_distance.high),
        may_be_due=figures.may_be_due.percent,
    )


def levels(spread: SpreadFigure, count: int, parts: int = 1) -> tuple[int, ...]:
    """Return `count` equally likely levels, in hundredths, or in `parts` of a hundredth, from low to high.

    70 to 130 % by five levels: mean 100, standard deviation 23.4 as that of the normal distribution.
    """
    middle, deviation = (spread.low + spread.high) / 2, (spread.high - spread.low) / 2 / EIGHT_IN_TEN
    standard = [NormalDist().inv_cdf((2 * place + 1) / (2 * count)) for place in range(count)]
    scale = deviation / (sum(value * value for value in standard) / count) ** 0.5
    return tuple(max(round(parts * (middle + scale * value)), 1) for value in standard)
