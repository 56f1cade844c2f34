"""Read the properties of a film from FFmpeg's description: upright size, length, coding, color, sound."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from sitegen.film.program import HOSTILE, FilmError, Limits, Program, run, source

_INPUT_STREAM = re.compile(r"^  Stream #0:(\d+)\S*: (Video|Audio): (\w+)(.*)$", re.MULTILINE)
_SIZE = re.compile(r", (\d+)x(\d+)(?: \[SAR (\d+):(\d+))?")
_DURATION = re.compile(r"^  Duration: (\d+):(\d\d):(\d\d)\.(\d+)", re.MULTILINE)
_RATE = re.compile(r", ([\d.]+)(k?) fps")
_DOLBY = re.compile(r"DOVI configuration record:.*?profile: (\d+).*?compatibility id: (\d+)")
PROBE_LIMITS = Limits(memory=4 * 2**30, seconds=60, file_bytes=0)


@dataclass(frozen=True)
class FilmFacts:
    """The properties of a film before it is coded for the web."""

    width: int
    height: int
    """Pixels as shown: upright, with square pixels."""
    seconds: float | None
    """Length as the file states it; a recording that was never finished states none."""
    coding: str
    transfer: str
    """Transfer characteristics by FFmpeg's name: bt709, arib-std-b67 (HLG), smpte2084 (PQ), unknown."""
    rate: float | None
    """Frames a second, on average."""
    has_sound: bool

    @property
    def is_hdr(self) -> bool:
        """Return whether its colors must be converted to standard dynamic range."""
        return self.transfer in ("arib-std-b67", "smpte2084")


def probe(program: Program, file: Path) -> FilmFacts:
    """Return the facts of a film, after decoding its first picture.

    Raises FilmError if it holds no picture that can be decoded.
    """
    arguments = [*HOSTILE, *source(file), "-map", "0:v:0", "-frames:v", "1", "-f", "null", "-"]
    return parse_description(run(program, arguments, PROBE_LIMITS))


def parse_description(text: str) -> FilmFacts:
    """Return the facts that FFmpeg's description of a film states. Raises FilmError without a picture.

    The upright size is that of the output, since FFmpeg turns pictures by the display matrix before it filters them.
    """
    described, _, output = text.partition("Output #0")
    streams = _INPUT_STREAM.findall(described)
    video = next((stream for stream in streams if stream[1] == "Video"), None)
    shown = _SIZE.search(output)
    if video is None or shown is None:
        raise FilmError("which holds no picture")
    if (dolby := _DOLBY.search(described)) and dolby[2] == "0" and dolby[1] in ("5", "10"):
        raise FilmError("whose colors are in a form without a base layer (Dolby Vision profile 5)")
    width, height = int(shown[1]), int(shown[2])
    across, down = int(shown[3] or 1) or 1, int(shown[4] or 1) or 1
    return FilmFacts(
        width=max(round(width * across / down), 2),
        height=height,
        seconds=_seconds(described),
        coding=video[2],
        transfer=_transfer(video[3]),
        rate=_rate(video[3]),
        has_sound=any(stream[1] == "Audio" and stream[2] != "none" for stream in streams),
    )


def _seconds(described: str) -> float | None:
    match = _DURATION.search(described)
    if match is None:
        return None
    hours, minutes, seconds, fraction = match.groups()
    return int(hours) * 3600 + int(minutes) * 60 + int(seconds) + int(fraction) / float(10 ** len(fraction))


def _transfer(words: str) -> str:
    """Return the transfer name of a stream: `bt2020nc/bt2020/arib-std-b67` in brackets behind the pixel format."""
    for name in ("arib-std-b67", "smpte2084"):
        if name in words:
            return name
    return "bt709" if "bt709" in words else "unknown"


def _rate(words: str) -> float | None:
    match = _RATE.search(words)
    return float(match[1]) * (1000 if match[2] else 1) if match else None
