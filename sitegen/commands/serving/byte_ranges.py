"""Parse the `Range` header, by which a browser seeks in a video. Source: RFC 9110, section 14."""

from __future__ import annotations

import re

_ONE_RANGE = re.compile(r"bytes=(\d*)-(\d*)", re.ASCII)


def asked_part(header: str | None, size: int) -> range | None:
    """Return the bytes that a `Range` header requests of a file of `size` bytes. Return None for the whole file.

    `bytes=0-` of 10 bytes is range(0, 10), and `bytes=-3` is range(7, 10). A header that cannot be parsed, or that
    requests several parts, counts as none (section 14.2 allows that). The range is empty if the part lies outside of
    the file.
    """
    match = _ONE_RANGE.fullmatch(header or "")
    if match is None or match.groups() == ("", ""):
        return None
    first, last = match.groups()
    if not first:
        return range(max(size - int(last), 0), size)
    if last and int(last) < int(first):
        return None
    return range(int(first), min(int(last) + 1, size) if last else size)
