"""Long texts in Markdown: what would take minutes to turn into HTML is told at its line instead.

No outside source: the bounds are the project's own, and the shapes those at which the converter was found to be slow.
"""

from __future__ import annotations

import pytest

from sitegen.reading.validation.texts import MOST_BRACKETS, MOST_LETTERS, MOST_LINES, find_excess
from sitegen.shared_data import content_folder
from tests.conftest import REPOSITORY

SLOW = ("[", "![", "[](", "[a](", "![a](<", "<![CDATA[", "<a", "1. ", "+ ", "> ", ">", "\n- ", "-\n", "a\n=\n", "\n#")


@pytest.mark.parametrize("shape", SLOW)
def test_shapes_that_take_the_converter_long_are_refused(shape):
    """Of 20,000 letters in each shape it makes something in half a second to several minutes, or never comes back."""
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
def test_each_bound_is_told_at_its_line(text, line):
    found = find_excess(text)
    assert found is not None
    assert found[2] == line


def test_what_people_write_is_never_too_much():
    texts = [*(REPOSITORY / "demo_site" / "pages").rglob("*.md"), *content_folder().rglob("*.md")]
    assert len(texts) > 10
    assert [text for text in (*texts, REPOSITORY / "DEVELOPERS.md") if find_excess(text.read_text("utf-8"))] == []
