"""Bench `films`: likeness (VMAF), bytes and time of hand-held films, and whether AV1 with Opus would save bytes.

VMAF is computed by libvmaf inside FFmpeg, against the upright source scaled to the size of the coded film. AV1 is
coded at the quality that gives the VMAF of the published film; it would be made if it saved 30 % of the bytes.
"""

from __future__ import annotations

import argparse
import re
import subprocess
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sitegen.film.coding import RATE, RENDITIONS, Cut, Rendition, fitted_size, picture_options, sound_options
from sitegen.film.making import code_clip, measure_loudness
from sitegen.film.probing import FilmFacts, probe
from tests.conftest import REPOSITORY
from tests.data.films.make_demo_clips import moved_crop
from tests.film.films import PROGRAM

SECONDS = 10
PHOTOS = REPOSITORY / "demo_site" / "vehicles" / "K102" / "photos"
FILMED = {"body": "front-three-quarter-left.jpg", "rust": "underbody-rail-welds.jpg"}
"""Photos over which the camera moves: a smooth panel, and the finest detail of the demo."""
_SCORE = re.compile(r"VMAF score: ([\d.]+)")


@dataclass(frozen=True)
class Coded:
    """A coded film: its bytes, its mean VMAF, and the seconds that coding took."""

    size: int
    vmaf: float
    took: float

    def line(self, name: str) -> str:
        """Return a line of the table."""
        return f"| {name} | {self.vmaf:.1f} | {self.size * 60 / SECONDS / 1e6:.1f} | {self.took:.1f} s |"


def run(_arguments: argparse.Namespace) -> None:
    """Print a table for each film."""
    with tempfile.TemporaryDirectory(prefix="sitegen-bench-films-") as name:
        for film, photo in FILMED.items():
            source = _hand_held(PHOTOS / photo, Path(name) / f"{film}.mp4")
            facts = probe(PROGRAM, source)
            print(f"\n{film}: {SECONDS} s, {facts.width} x {facts.height}, {source.stat().st_size / 1e6:.0f} MB\n")
            print("| coding | VMAF | MB a minute | time |\n| --- | --- | --- | --- |", flush=True)
            for rendition in RENDITIONS:
                _compare(source, facts, rendition, Path(name))


def _hand_held(photo: Path, to: Path) -> Path:
    """Write a film of 1080 x 1920, nearly without loss: a crop that moves with the shake of a hand, grain, a tone."""
    picture = moved_crop(1080, 1920, SECONDS)
    sound = "sine=frequency=300:sample_rate=48000,tremolo=f=3:d=0.8"
    command = ["-loop", "1", "-r", str(RATE), "-i", str(photo), "-f", "lavfi", "-i", sound, "-vf", picture]
    command += ["-c:v", "libx264", "-preset", "ultrafast", "-crf", "6", "-pix_fmt", "yuv420p", "-c:a", "aac"]
    _ffmpeg([*command, "-t", str(SECONDS), str(to)])
    return to


def _compare(source: Path, facts: FilmFacts, rendition: Rendition, scratch: Path) -> None:
    frame = fitted_size(facts.width, facts.height, rendition.short_side)
    to, bare = scratch / "published.mp4", scratch / "bare.mp4"
    began = time.perf_counter()
    loudness = measure_loudness(PROGRAM, source, Cut())
    code_clip(PROGRAM, source, to, facts, frame, rendition, loudness=loudness)
    took = time.perf_counter() - began
    published = Coded(to.stat().st_size, _vmaf(source, to, frame), took)
    print(published.line(f"published, {rendition.short_side}"), flush=True)
    scale = f"fps={RATE},scale={frame[0]}:{frame[1]}:flags=bicubic,format=yuv420p"
    began = time.perf_counter()
    _ffmpeg(["-i", str(source), "-vf", scale, *picture_options(rendition), *sound_options(rendition), str(bare)])
    took = time.perf_counter() - began
    print(Coded(bare.stat().st_size, _vmaf(source, bare, frame), took).line("bare FFmpeg, same settings"), flush=True)
    equal, quality = _equal_av1(source, frame, scale, published.vmaf, scratch)
    print(equal.line(f"AV1 with Opus, CRF {quality}"))
    print(f"\nAV1 saves {1 - equal.size / published.size:.0%} of the bytes.\n", flush=True)


def _equal_av1(source: Path, frame: tuple[int, int], scale: str, wanted: float, scratch: Path) -> tuple[Coded, int]:
    """Return the smallest film in AV1 whose VMAF is at least `wanted`, and its constant rate factor, by bisection."""
    low, high = 10, 50
    best: tuple[Coded, int] | None = None
    while low <= high:
        quality = (low + high) // 2
        to = scratch / "av1.mp4"
        began = time.perf_counter()
        coding = ["-c:v", "libsvtav1", "-preset", "8", "-crf", str(quality), "-g", "60"]
        coding += ["-c:a", "libopus", "-b:a", "64k"]
        _ffmpeg(["-i", str(source), "-vf", scale, *coding, str(to)])
        coded = Coded(to.stat().st_size, _vmaf(source, to, frame), time.perf_counter() - began)
        if coded.vmaf >= wanted:
            best, low = (coded, quality), quality + 1
        else:
            high = quality - 1
    if best is None:
        raise SystemExit("AV1 does not reach this VMAF")
    return best


def _vmaf(source: Path, coded: Path, frame: tuple[int, int]) -> float:
    """Return the mean VMAF of a coded film against the upright source at the same size."""
    width, height = frame
    upright = f"[1:v]fps={RATE},scale={width}:{height}:flags=bicubic,format=yuv420p,settb=AVTB,setpts=PTS-STARTPTS[r]"
    graph = f"[0:v]settb=AVTB,setpts=PTS-STARTPTS[c];{upright};[c][r]libvmaf=n_threads=2:shortest=1"
    text = _ffmpeg(["-i", str(coded), "-i", str(source), "-lavfi", graph, "-f", "null", "-"])
    found = _SCORE.search(text)
    assert found is not None, text[-500:]
    return float(found[1])


def _ffmpeg(arguments: Sequence[str]) -> str:
    command = [str(PROGRAM.path), "-hide_banner", "-nostats", "-y", "-nostdin", *arguments]
    return subprocess.run(command, check=True, capture_output=True, text=True).stderr
