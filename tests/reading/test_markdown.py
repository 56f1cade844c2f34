"""Markdown texts that would take minutes to convert are rejected, with their line.

The limits are our own; the shapes are those for which the converter was found to be slow.
"""

from __future__ import annotations

import pytest

from sitegen.reading.validation.texts import MOST_BRACKETS, MOST_LETTERS, MOST_LINES, find_excess
from sitegen.shared_data import content_folder
from tests.conftest import REPOSITORY

SLOW = ("[", "![", "[](", "[a](", "![a](<", "<![CDATA[", "<a", "1. ", "+ ", "> ", ">", "\n- ", "-\n", "a\n=\n", "\n#")


@pytest.mark.parametrize("shape", SLOW)
def test_shapes_that_are_slow_to_convert_are_rejected(shape):
    """With 20,000 characters of each shape, conversion takes from half a second to minutes, or never ends."""
    assert find_excess((shape * 20_000)[:20_000]) is not None


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("One.\n\n" + "[" * (MOST_BRACKETS + 1), 3),
        ("One.\n" + "1. " * 21 + "deep\n", 2),
        ("One.\n" + "> " * 21 + "deep\n", 2),
        ("a\n" * MOST_LINES + "a", 1),
        ("a" * (MOST_LETTERS + 1), 1),
    ],
)
def test_each_limit_is_reported_at_its_line(text, line):
    found = find_excess(text)
    assert found is not None
    assert found[2] == line


def test_normal_texts_are_within_the_limits():
    texts = [*(REPOSITORY / "demo_site" / "pages").rglob("*.md"), *content_folder().rglob("*.md")]
    assert len(texts) > 10
    assert [text for text in (*texts, REPOSITORY / "DEVELOPERS.md") if find_excess(text.read_text("utf-8"))] == []
