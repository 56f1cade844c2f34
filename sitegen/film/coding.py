"""Plan how a clip is coded for the web: pure, from facts to FFmpeg's arguments.

H.264 High with AAC in MP4 plays on every browser in use. The short side is at most 720 pixels, and 480
for slow links.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sitegen.film.covers import CoverBox, cover_filters
from sitegen.film.probing import FilmFacts

RATE = 30
"""Frames a second of published films. Clips of one rate can be joined without coding them again."""
GROUP_SECONDS = 2
"""Longest group of pictures: a player can begin at any multiple."""
LOUDNESS, PEAK, RANGE = -19, -2, 11
"""LUFS, dB true peak and LU, measured as EBU R 128 does. -19 LUFS for speech on phones is this project's choice."""
COLD_START_GAIN = 0
"""dB. One gain for every cold start, so that a loud engine stays loud."""


@dataclass(frozen=True)
class Rendition:
    """One published size of a film."""

    short_side: int
    quality: int
    """Constant rate factor of x264: lower is better."""
    most_bits: int
    """Bits a second of the picture that are never exceeded over two seconds."""
    sound_bits: int


RENDITIONS = (Rendition(720, 25, 1_450_000, 96_000), Rendition(480, 27, 650_000, 64_000))


@dataclass(frozen=True)
class Loudness:
    """Result of the first pass: integrated loudness, true peak, range and threshold, as FFmpeg's loudnorm reports."""

    integrated: float
    peak: float
    range: float
    threshold: float
    offset: float

    @property
    def is_silent(self) -> bool:
        """Return whether nothing rises above the absolute gate of -70 LUFS (ITU-R BS.1770-5)."""
        return not self.integrated > -70


@dataclass(frozen=True)
class Cut:
    """The part of a source that a clip shows, in seconds; `end` None is the end of the source."""

    start: float = 0
    end: float | None = None


def fitted_size(width: int, height: int, short_side: int) -> tuple[int, int]:
    """Return the size in even pixels with the short side at most `short_side`; a film is never enlarged.

    1080 x 1920 with 720 is 720 x 1280.
    """
    scale = min(short_side / min(width, height), 1)
    return tuple(max(round(side * scale / 2) * 2, 2) for side in (width, height))  # type: ignore[return-value]


def picture_filters(
    facts: FilmFacts, frame: tuple[int, int], cut: Cut, covers: Sequence[Sequence[CoverBox]], table: str
) -> Iterator[str]:
    """Yield the filters from a decoded picture to one of `frame` pixels in BT.709, with its covers filled.

    A picture of another shape is centered on a plain ground. Covers come first, so that their places are shares of
    the source picture. `table` names the file of the color table in the working folder, read only
    for a film of high dynamic range.
    """
    yield f"fps={RATE}"
    for cover in covers:
        yield from cover_filters(cover, cut.start)
    width, height = frame
    fit = min(width / facts.width, height / facts.height)
    inner = [max(round(side * fit / 2) * 2, 2) for side in (facts.width, facts.height)]
    yield f"scale={inner[0]}:{inner[1]}:flags=bicubic"
    yield "setsar=1"
    if facts.is_hdr:
        yield from _standard_range(facts, table)
    else:
        yield "scale=out_color_matrix=bt709:out_range=tv,format=yuv420p"
    if tuple(inner) != frame:
        yield f"pad={width}:{height}:(ow-iw)/2:(oh-ih)/2:color=0x20201e"


def _standard_range(facts: FilmFacts, table: str) -> Iterator[str]:
    """Yield the conversion of HLG or PQ to BT.709 by a table (see `standard_range`)."""
    yield f"zscale=min=2020_ncl:pin=2020:tin={facts.transfer}:m=gbr:p=2020:t={facts.transfer}:r=pc,format=gbrp16le"
    yield f"lut3d=file={table}:interp=tetrahedral"
    yield "setparams=color_primaries=bt709:color_trc=bt709:colorspace=gbr:range=pc"
    yield "scale=out_color_matrix=bt709:out_range=tv,format=yuv420p"


def sound_filters(loudness: Loudness | None, is_cold_start: bool) -> Iterator[str]:
    """Yield the filters from a decoded sound to 48 kHz stereo at the published loudness.

    A cold start keeps its own loudness, with one gain for every vehicle; silence stays silent.
    """
    if is_cold_start:
        yield f"volume={COLD_START_GAIN}dB"
        yield "alimiter=limit=0.79:level=disabled"
    elif loudness is not None and not loudness.is_silent:
        yield loudness_filter(loudness)
    yield "aresample=48000"
    yield "aformat=channel_layouts=stereo"


def loudness_filter(measured: Loudness | None) -> str:
    """Return the filter that measures loudness (without a measure) or brings it to ours (second pass)."""
    target = f"loudnorm=I={LOUDNESS}:TP={PEAK - 0.5}:LRA={RANGE}"
    if measured is None:
        return f"{target}:print_format=json"
    return (
        f"{target}:measured_I={measured.integrated}:measured_TP={measured.peak}:measured_LRA={measured.range}"
        f":measured_thresh={measured.threshold}:offset={measured.offset}:linear=true"
    )


WRITTEN = (
    *("-map_metadata", "-1", "-map_chapters", "-1", "-fflags", "+bitexact", "-video_track_timescale", "15360"),
    *("-movflags", "+faststart", "-empty_hdlr_name", "1", "-f", "mp4"),
)
"""Options of every film that is published: the index first, and no metadata beyond the duration."""


def picture_options(rendition: Rendition) -> list[str]:
    """Return the options of the picture's encoder: H.264 High in closed groups of pictures, BT.709."""
    return [
        *("-c:v", "libx264", "-preset", "medium", "-profile:v", "high", "-crf", str(rendition.quality)),
        *("-maxrate", str(rendition.most_bits), "-bufsize", str(2 * rendition.most_bits)),
        *("-g", str(RATE * GROUP_SECONDS), "-flags:v", "+cgop+bitexact"),
        *("-force_key_frames", f"expr:gte(t,n_forced*{GROUP_SECONDS})"),
        *("-bsf:v", "filter_units=remove_types=6"),
        *("-color_primaries", "bt709", "-color_trc", "bt709", "-colorspace", "bt709", "-color_range", "tv"),
    ]


def sound_options(rendition: Rendition) -> list[str]:
    """Return the options of the sound's encoder."""
    return ["-c:a", "aac", "-b:a", str(rendition.sound_bits), "-flags:a", "+bitexact"]


def cut_options(cut: Cut) -> list[str]:
    """Return the options before an input that limit it to a cut."""
    options = ["-ss", f"{cut.start:.3f}"] if cut.start else []
    return [*options, "-to", f"{cut.end:.3f}"] if cut.end is not None else options
