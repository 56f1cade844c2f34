"""Code one clip for the web, join clips, and take stills: the steps that run FFmpeg."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Sequence
from pathlib import Path

from PIL import Image, ImageFilter, ImageStat

from sitegen.film.coding import (
    RATE,
    WRITTEN,
    Cut,
    Loudness,
    Rendition,
    cut_options,
    loudness_filter,
    picture_filters,
    picture_options,
    sound_filters,
    sound_options,
)
from sitegen.film.covers import CoverBox
from sitegen.film.probing import FilmFacts
from sitegen.film.program import HOSTILE, OWN, FilmError, Program, run, source, target
from sitegen.film.standard_range import cube_text

STILLS = 12
"""Moments that are looked at for a poster."""
_REPORT = re.compile(r"\{[^{}]*\"input_i\"[^{}]*\}")


def measure_loudness(program: Program, file: Path, cut: Cut) -> Loudness:
    """Return the loudness of a film's first sound track: the first of two passes.

    Raises FilmError if it cannot be decoded.
    """
    arguments = [*HOSTILE, *cut_options(cut), *source(file), "-map", "0:a:0", "-vn"]
    text = run(program, [*arguments, "-af", loudness_filter(None), "-f", "null", "-"])
    report = _REPORT.search(text)
    if report is None:
        raise FilmError("whose sound can't be decoded")
    figures = json.loads(report[0])

    def figure(key: str) -> float:
        value = float(figures[key])
        return value if math.isfinite(value) else -99.0

    return Loudness(
        integrated=figure("input_i"),
        peak=figure("input_tp"),
        range=figure("input_lra"),
        threshold=figure("input_thresh"),
        offset=figure("target_offset"),
    )


def code_clip(
    program: Program,
    file: Path,
    to: Path,
    facts: FilmFacts,
    frame: tuple[int, int],
    rendition: Rendition,
    *,
    cut: Cut | None = None,
    covers: Sequence[Sequence[CoverBox]] = (),
    loudness: Loudness | None = None,
    is_cold_start: bool = False,
    with_sound: bool = True,
    progress: Callable[[float], None] | None = None,
) -> None:
    """Write one clip for the web. With `with_sound`, a clip without sound gets silence, so that clips can be joined.

    Picture and sound are coded one after the other, since the length of the sound follows from the coded picture. The
    folder of `to` is a scratch folder: the table of colors is written there too. Raises FilmError if the source
    cannot be decoded or the result has no picture.
    """
    cut = cut or Cut()
    table = f"{facts.transfer}.cube"
    if facts.is_hdr:
        (to.parent / table).write_text(cube_text(facts.transfer), "ascii")
    picture_only = to.with_suffix(".picture.mp4")
    opened = [*HOSTILE, *cut_options(cut), *source(file)]
    filters = ",".join(picture_filters(facts, frame, cut, covers, table))
    coded = ["-y", *opened, "-map", "0:v:0", "-an", "-sn", "-dn", "-vf", filters, *picture_options(rendition)]
    text = run(program, [*coded, *WRITTEN, target(picture_only)], progress=progress, folder=to.parent)
    pictures = _pictures_written(text)
    if not with_sound:
        picture_only.replace(to)
        return
    given = opened if facts.has_sound else ["-f", "lavfi", "-i", "anullsrc=r=48000:cl=stereo"]
    length = f"apad,atrim=end={pictures / RATE:.6f}"
    sound = ",".join([*sound_filters(loudness, is_cold_start), length])
    added = [
        "-y",
        *OWN,
        *source(picture_only),
        *given,
        "-map",
        "0:v:0",
        "-c:v",
        "copy",
        "-map",
        "1:a:0",
        "-af",
        sound,
    ]
    run(program, [*added, *sound_options(rendition), *WRITTEN, target(to)], folder=to.parent)
    picture_only.unlink()


def _pictures_written(text: str) -> int:
    """Return how many pictures a run has coded, from its report of progress. Raises FilmError if there are none."""
    counts = re.findall(r"^frame=(\d+)$", text, re.MULTILINE)
    if not counts or int(counts[-1]) == 0:
        raise FilmError("which holds no picture in that part")
    return int(counts[-1])


def join_clips(program: Program, clips: Sequence[Path], to: Path, scratch: Path) -> None:
    """Write one film from clips that were coded alike, without coding them again."""
    listing = scratch / "clips.txt"
    listing.write_text("".join(f"file 'file:{_quoted(clip)}'\n" for clip in clips), "utf-8")
    arguments = ["-y", *OWN, "-f", "concat", "-safe", "0", *source(listing), "-map", "0", "-c", "copy"]
    run(program, [*arguments, *WRITTEN, target(to)])


def _quoted(path: Path) -> str:
    return str(path.absolute()).replace("'", "'\\''")


def take_still(program: Program, film: Path, at: float, to: Path, width: int | None = None) -> None:
    """Write the picture of one moment of a coded film as PNG, `width` pixels wide or as wide as the film."""
    scale = ["-vf", f"scale={width}:-2:flags=lanczos"] if width else []
    arguments = ["-y", *OWN, "-ss", f"{at:.3f}", *source(film), "-map", "0:v:0", "-frames:v", "1", *scale]
    run(program, [*arguments, "-f", "image2", "-c:v", "png", "-update", "1", target(to)])


def best_moment(program: Program, film: Path, seconds: float, scratch: Path) -> float:
    """Return the second of a coded film that makes the best poster: sharp and bright, of evenly spread moments."""
    pattern = scratch / "still-%03d.png"
    step = max(seconds / STILLS, 1 / 30)
    arguments = ["-y", *OWN, *source(film), "-map", "0:v:0", "-vf", f"fps=1/{step:.4f}:start_time=0,scale=320:-2"]
    run(program, [*arguments, "-frames:v", str(STILLS), "-f", "image2", "-c:v", "png", target(pattern)])
    stills = sorted(scratch.glob("still-*.png"))
    best = max(range(len(stills)), key=lambda index: poster_merit(stills[index]), default=0)
    return min(best * step, max(seconds - 0.1, 0))


def poster_merit(still: Path) -> float:
    """Return how well a still serves as a poster: the spread of its edges, less where it is dark or burnt out.

    The spread of a Laplacian is a usual measure of focus (Pech-Pacheco and others, 2000).
    """
    with Image.open(still) as opened:
        gray = opened.convert("L")
    edges = gray.filter(ImageFilter.Kernel((3, 3), (0, 1, 0, 1, -4, 1, 0, 1, 0), 1, 128))
    brightness = ImageStat.Stat(gray).mean[0] / 255
    return float(ImageStat.Stat(edges).var[0]) * max(1 - abs(brightness - 0.5) * 1.6, 0.05)
