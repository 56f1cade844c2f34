"""Run the slow checks of the outlook: every key of the demo records, 2,500 outlooks, the effect of each spread."""

from __future__ import annotations

from dataclasses import replace

from sitegen.condition.outlook.outlook import outlook
from tests.condition.judged import AVERAGE
from tests.condition.outlook.test_leaving_out import STOCKS, check, demo_store, optional_paths, plain_record
from tests.condition.outlook.test_predictive_ranges import SPREADS, Simulation, demo_conditions, share_within
from tests.pages.test_outlook_parity import check_parity

PARITY_CASES = 2_500


def main() -> None:
    """Print a line for each check."""
    for stock in STOCKS:
        record = plain_record(stock)
        paths = list(optional_paths(record))
        wrong = check(record, paths, demo_store()[1])
        print(f"{stock}: {len(paths)} keys left out, {len(wrong)} look cheaper {wrong}", flush=True)
    check_parity(PARITY_CASES, seed=2026)
    print(f"{PARITY_CASES} generated outlooks: equal in Python and in the browser", flush=True)
    print_coverage()
    print_what_spreads_add()


def print_coverage() -> None:
    """Print the share of simulated cases within each range."""
    for stock, condition in demo_conditions().items():
        shares = []
        for years, window in ((1, condition.outlook.first_year), (3, condition.outlook.whole)):
            due, at_once = Simulation(SPREADS).costs(condition, years)
            for costs, figure in ((due, window.due), (due + at_once, window.total)):
                share = share_within(costs, figure.low, figure.high)
                shares.append(f"${figure.low // 100:,}-{figure.high // 100:,} {share:.1%}")
        print(f"| {stock} | {' | '.join(shares)} |", flush=True)


def print_what_spreads_add() -> None:
    """Print the width of the first year's range with no spread at all, and with each of the three by itself."""
    for stock, condition in demo_conditions().items():
        facts, spreads = condition.facts, condition.facts.spreads
        none = replace(spreads, price=(1_000,), wear=(100,), distance=(100,))
        cases = {
            "none": none,
            "price": replace(none, price=spreads.price),
            "wear": replace(none, wear=spreads.wear),
            "distance": replace(none, distance=spreads.distance),
            "all": spreads,
        }
        for years in ("first_year", "whole"):
            widths = []
            for case in cases.values():
                total = getattr(outlook(replace(facts, spreads=case), AVERAGE), years).total
                widths.append(f"${total.low // 100:,}-{total.high // 100:,}")
            print(f"| {stock} {years} | {' | '.join(widths)} |", flush=True)


if __name__ == "__main__":
    main()
