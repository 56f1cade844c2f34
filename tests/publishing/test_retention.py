"""Files that an open tab may request are retained for three publications and 30 days. Pages and pictures are not."""

from __future__ import annotations

from datetime import timedelta
from itertools import product
from pathlib import Path

import pytest

from sitegen.pages.site import Site
from sitegen.publishing.publication import publish
from tests.publishing.sites import TODAY


def version(number: int) -> Site:
    """A site with a style sheet of its own, which is retained, and a page of its own, which is not."""
    style = f"assets/{number}.css"
    pages = {"index.html": str(number).encode(), f"{number}.html": b"", style: str(number).encode()}
    return Site(pages, lasting=frozenset({style}))


def styles(folder: Path) -> list[str]:
    return sorted(path.stem for path in (folder / "assets").iterdir())


def others_beside(folder: Path, where: str) -> None:
    """Put a foreign file into the folder, so that files are replaced one by one instead of by exchange."""
    if where == "one by one":
        (folder / "CNAME").write_text("theirs")


@pytest.mark.parametrize("where", ["exchanged", "one by one"])
@pytest.mark.parametrize(
    ("days", "kept"),
    [
        ([0, 0, 0, 0, 0, 0], "012345"),  # all within 30 days
        ([0, 30, 60, 90, 120, 150], "2345"),  # the last three before it
        ([0, 1, 2, 3, 31, 32], "12345"),  # the first fell away on day 1, 31 days before, and four publications ago
        ([0, 1, 2, 3, 4, 31], "012345"),
        ([900, 900, 0, 1, 2, 31], "2345"),  # the clock was far ahead, and is right again
        ([31, 31, 0, 0, 0, 0], "012345"),
    ],
)  # fmt: skip
def test_retained_files_stay_for_three_publications_and_30_days(tmp_path, days, kept, where):
    for number, day in enumerate(days):
        publish(version(number), tmp_path / "published", TODAY + timedelta(days=day))
        others_beside(tmp_path / "published", where)
    assert styles(tmp_path / "published") == list(kept)
    assert sorted(path.stem for path in (tmp_path / "published").glob("*.html")) == ["5", "index"]


def test_a_retained_file_is_reported_as_removed_only_when_deleted(tmp_path):
    first = publish(version(0), tmp_path, TODAY)
    assert first.removed == ()
    assert publish(version(1), tmp_path, TODAY).removed == ("0.html",)
    late = TODAY + timedelta(days=40)
    removed = [publish(version(number), tmp_path, late).removed for number in (2, 3, 4)]
    assert removed == [("1.html",), ("2.html",), ("3.html", "assets/0.css")]


def test_an_unchanged_build_does_not_count_as_a_publication(tmp_path):
    for number, day in product((0, 1), range(5)):
        publish(version(number), tmp_path, TODAY + timedelta(days=31 * day))
    assert styles(tmp_path) == ["0", "1"]


def test_a_returning_file_belongs_to_the_site_again(tmp_path):
    for number in (0, 1, 0):
        publish(version(number), tmp_path, TODAY)
    for number in (2, 3, 4):
        publish(version(number), tmp_path, TODAY + timedelta(days=31))
    assert styles(tmp_path) == ["0", "2", "3", "4"]
