"""Rows of vehicles in files that seldom change: SHA-256 (FIPS 180-4) spreads stock numbers evenly."""

from __future__ import annotations

from collections import Counter

from sitegen.pages.inventory.rows import file_of


def test_consecutive_stock_numbers_are_spread_evenly_over_the_files():
    """10,000 over 64 files is 156 on the average; a fair spread stays within six standard deviations of 12.4."""
    sizes = Counter(file_of(f"N{number:05}", 64) for number in range(10_000))
    assert set(sizes) == set(range(64))
    assert min(sizes.values()) > 156 - 75
    assert max(sizes.values()) < 156 + 75
