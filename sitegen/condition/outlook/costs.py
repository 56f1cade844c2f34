"""What doing an item once costs, from the store's price list: a range, and nothing where a price is missing."""

from __future__ import annotations

from sitegen.condition.basis.forecast import CostRange
from sitegen.records.store import PriceList


def cost_of(services: tuple[str, ...], count: int, prices: PriceList | None) -> CostRange | None:
    """Return the range in hundredths of the currency: from the least service it may take to the dearest, times
    `count`.

    Two tires at 120-230 each are 24,000 to 46,000. None unless every service it may take has a price.
    """
    listed = [prices.prices[service] for service in services if prices is not None and service in prices.prices]
    if len(listed) < len(services) or not listed:
        return None
    low, high = min(price.low for price in listed), max(price.high for price in listed)
    return CostRange(int(low * 100) * count, int(high * 100) * count)
