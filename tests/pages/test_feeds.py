"""The ids of feed entries are permanent and never used again, and an empty feed is as old as the site (RFC 4287)."""

from __future__ import annotations

from datetime import date

import feedparser

from sitegen.pages.feeds import News, atom_feed, key_of, keys_in_order
from sitegen.pages.frame.addresses import vehicle_page
from tests.builders import some_settings

DAY = date(2026, 10, 4)


def test_a_key_follows_from_what_an_entry_says_and_not_from_its_place():
    """An entry that is taken out, or put in before others, changes the key of no other."""
    first, second, third = (key_of(DAY, words) for words in ("New pads.", "Corrected the tread.", "New bulb."))
    assert keys_in_order([first, second, third])[1:] == keys_in_order([second, third])
    assert len({first, second, third}) == 3


def test_equal_changes_of_one_day_have_keys_of_their_own():
    assert keys_in_order(["a", "b", "a", "a"]) == ["a", "b", "a-2", "a-3"]


def test_a_vehicle_keeps_its_ids_under_a_new_stock_number():
    news = News(vehicle_page("K901", ""), vehicle_page("K900", ""), "arrived", DAY, "Arrived", "Two defects")
    feed = feedparser.parse(atom_feed([news], some_settings(), "en", "News", "Ledger", DAY))
    assert "/K901/" in feed.entries[0].link
    assert feed.entries[0].id.endswith("/vehicles/K900/#arrived")


def test_an_empty_feed_was_updated_when_the_site_began():
    feed = feedparser.parse(atom_feed([], some_settings(), "en", "News", "Ledger", DAY))
    assert feed.feed.updated.startswith("2026-10-04")
