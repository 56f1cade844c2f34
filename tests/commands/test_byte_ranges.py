"""Parts of a file, as a player asks for them to go to a place in a video (RFC 9110, sections 14.1.2 to 15.3.7)."""

from __future__ import annotations

import http.client
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from sitegen.commands.serving.byte_ranges import asked_part
from sitegen.commands.serving.preview_server import Showing, serving

# RFC 9110, 14.1.2: the examples for a file of 10,000 bytes; then what it says of what is not understood.
EXAMPLES = [
    ("bytes=0-499", range(500)),
    ("bytes=500-999", range(500, 1_000)),
    ("bytes=-500", range(9_500, 10_000)),
    ("bytes=9500-", range(9_500, 10_000)),
    ("bytes=9500-20000", range(9_500, 10_000)),
    ("bytes=-20000", range(10_000)),
    ("bytes=500-400", None),
    ("bytes=0-0,-1", None),
    ("lines=1-2", None),
    ("bytes=-", None),
    (None, None),
]


@pytest.mark.parametrize(("header", "part"), EXAMPLES)
def test_the_examples_of_the_standard(header, part):
    assert asked_part(header, 10_000) == part


def test_a_range_beyond_the_end_is_empty():
    assert not asked_part("bytes=10000-", 10_000)


@pytest.fixture
def preview(tmp_path: Path) -> Iterator[http.client.HTTPConnection]:
    (tmp_path / "walk.webm").write_bytes(bytes(range(256)) * 1_000)
    with serving(Showing(tmp_path), 0) as address:
        parts = urlsplit(address)
        yield http.client.HTTPConnection(parts.hostname, parts.port)


def test_the_preview_sends_the_requested_range(preview):
    preview.request("GET", "/walk.webm", headers={"Range": "bytes=2-200001"})
    answer = preview.getresponse()
    assert (answer.status, answer.headers["Content-Range"]) == (206, "bytes 2-200001/256000")
    assert answer.headers.get_content_type() == "video/webm"
    content = answer.read()
    assert (len(content), content[:2], content[-1]) == (200_000, b"\2\3", 200_001 % 256)


def test_the_preview_answers_416_for_a_range_beyond_the_end(preview):
    preview.request("GET", "/walk.webm", headers={"Range": "bytes=256000-"})
    answer = preview.getresponse()
    assert (answer.status, answer.headers["Content-Range"]) == (416, "bytes */256000")
