"""What doing an item once costs, from the store's price list: a range, and nothing where a price is missing."""

from __future__ import annotations

from sitegen.condition.basis.forecast import CostRange
from sitegen.records.store import PriceList


def cost_of(
    services: tuple[str, ...], count: int, prices: PriceList | None
) -> tuple[CostRange | None, CostRange | None]:
    """Return the range in hundredths of the currency, times `count`, and the range if the dearest service is needed.

    The first goes from the least service that it may take to the dearest. Two tires at 120-230 each are 24,000 to
    46,000. None unless every service it may take has a price; the second is None where it is the same.
    """
    listed = [prices.prices[service] for service in services if prices is not None and service in prices.prices]
    if len(listed) < len(services) or not listed:
        return None, None
    ranges = [CostRange(int(price.low * 100) * count, int(price.high * 100) * count) for price in listed]
    cost = CostRange(min(each.low for each in ranges), max(each.high for each in ranges))
    dearest = max(ranges, key=lambda each: (each.high, each.low))
    return cost, None if dearest == cost else dearest
