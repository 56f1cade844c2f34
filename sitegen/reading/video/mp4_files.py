"""Read the metadata of an MP4 file: displayed size, length, coding, and whether it contains a location.

Source: ISO/IEC 14496-12 (boxes `moov`, `mvhd`, `tkhd`, `stsd`), 3GPP TS 26.244 (`loci`), the QuickTime File Format
(`©xyz` in user data, `mdta` keys). Frames are not decoded.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import BinaryIO

from sitegen.reading.video.video_facts import VideoFacts

_LARGEST_HEAD = 64_000_000
"""Largest metadata box that is read, in bytes. An hour of video has about five million."""
_PARTS = (b"ftyp", b"moov", b"meta", b"uuid")
_HOLDING_BOXES = {b"trak", b"mdia", b"minf", b"stbl", b"udta", b"meta", b"ilst"}
_PLACE_BOXES = {b"\xa9xyz", b"loci"}
_PLACE_WORDS = (b"location.ISO6709", b"GPSLatitude", b"GPSCoordinates")

Box = tuple[tuple[bytes, ...], bytes]
"""The path of a box (types from the outermost inward), and its content."""


def mp4_facts(file: BinaryIO, size: int) -> VideoFacts | None:
    """Return the metadata of an MP4 file of `size` bytes, or None if it is damaged or missing."""
    parts = dict.fromkeys(_PARTS, b"")
    try:
        for kind, length in _top_boxes(file, size):
            if kind in parts and length <= _LARGEST_HEAD:
                parts[kind] += file.read(length)
        return _facts(parts[b"moov"], parts[b"meta"] + parts[b"uuid"], parts[b"ftyp"].startswith(b"qt  "))
    except (EOFError, IndexError, KeyError, struct.error):
        return None


def _facts(head: bytes, others: bytes, is_quicktime: bool) -> VideoFacts | None:
    boxes = list(_boxes(head))
    length = next((_length(content) for way, content in boxes if way == (b"mvhd",)), None)
    has_place = any(_PLACE_BOXES & set(way) for way, _ in boxes) or any(
        word in head + others for word in _PLACE_WORDS
    )
    for track in _tracks(boxes):
        if track.get(b"hdlr", b"")[8:12] == b"vide":
            width, height = _shown_size(track[b"tkhd"])
            coding = track[b"stsd"][12:16].decode("latin-1")
            mime = "video/quicktime" if is_quicktime else "video/mp4"
            return VideoFacts(mime, coding, width, height, length, has_place)
    return None


def _top_boxes(file: BinaryIO, size: int) -> Iterator[tuple[bytes, int]]:
    """Yield each top-level box by type and length, with the file positioned at the start of its content.

    Raises EOFError if a box is cut short.
    """
    place = 0
    while place + 8 <= size:
        file.seek(place)
        length, kind = struct.unpack(">I4s", file.read(8))
        begins = place + 8
        if length == 1:
            (length,) = struct.unpack(">Q", file.read(8).ljust(8, b"\0"))
            begins += 8
        ends = size if length == 0 else place + length
        if not begins <= ends <= size:
            raise EOFError
        yield kind, ends - begins
        place = ends


def _boxes(content: bytes, way: tuple[bytes, ...] = ()) -> Iterator[Box]:
    """Yield every box in the content, each container before its contents."""
    place = 0
    while place + 8 <= len(content):
        length, kind = struct.unpack_from(">I4s", content, place)
        if length < 8:
            return
        inner = content[place + 8 : place + length]
        yield (*way, kind), inner
        if kind in _HOLDING_BOXES:
            # `meta` begins with a version, except in QuickTime files.
            has_version = kind == b"meta" and inner[8:12] == b"hdlr"
            yield from _boxes(inner[4:] if has_version else inner, (*way, kind))
        place += length


def _tracks(boxes: list[Box]) -> list[dict[bytes, bytes]]:
    """Return the boxes of each track by type."""
    tracks: list[dict[bytes, bytes]] = []
    for way, content in boxes:
        if way == (b"trak",):
            tracks.append({})
        elif way[0] == b"trak" and way[1:-1] in ((), (b"mdia",), (b"mdia", b"minf", b"stbl")):
            tracks[-1][way[-1]] = content
    return tracks


def _length(header: bytes) -> int | None:
    """Return the length in milliseconds from a movie header, or None. Version 1 of the box has 64-bit times."""
    scale, units = struct.unpack_from(">IQ", header, 20) if header[0] == 1 else struct.unpack_from(">II", header, 12)
    return round(units * 1000 / scale) if scale and units else None


def _shown_size(header: bytes) -> tuple[int, int]:
    """Return width and height as displayed, swapped if the track's matrix rotates the picture by 90 degrees."""
    after_times = 36 if header[0] == 1 else 24
    matrix = struct.unpack_from(">9i", header, after_times + 16)
    width, height = (size >> 16 for size in struct.unpack_from(">2I", header, after_times + 52))
    is_on_its_side = matrix[0] == 0 and matrix[1] != 0
    return (height, width) if is_on_its_side else (width, height)
