"""Make the clips of the demo store's film from its photos, as phones write them.

Usage: `python -m tests.data.films.make_demo_clips demo_site/vehicles/K102`. Needs FFmpeg (extra `film`), espeak-ng.
A crop moves over each photo with the shake of a hand and the grain of a small sensor, and a synthesizer speaks. Each
clip has another form: HEVC 10 bit HLG in MOV turned by its matrix, with an invented location; H.264 in 4K; an uneven
frame rate; HEVC in MP4; H.264 at 60 frames a second; no speech. The cold start's engine is noise that falls.
"""

from __future__ import annotations

import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from sitegen.film.program import find_program

LOCATION = "+12.3456-045.6789/"
"""In the open sea: an invented place, to be taken away by the build."""
_HLG = (
    "format=gbrp,setparams=color_primaries=bt709:color_trc=iec61966-2-1:colorspace=gbr:range=pc,"
    "zscale=t=linear:npl=203,format=gbrpf32le,zscale=p=2020:t=arib-std-b67:m=2020_ncl:r=tv:npl=203,format=yuv420p10le"
)
_HEVC = ["-c:v", "libx265", "-preset", "fast", "-x265-params", "log-level=error", "-tag:v", "hvc1"]
_H264 = ["-c:v", "libx264", "-preset", "fast", "-pix_fmt", "yuv420p"]
_ENGINE = (
    "anoisesrc=c=brown:r=48000:a=0.5,lowpass=f=220,volume='if(lt(t,1),0.02,0.7*(0.6+0.4*exp(-(t-1)/2)))':eval=frame,"
    "tremolo=f=27:d=0.6"
)


@dataclass(frozen=True)
class Clip:
    """One clip: its photo, its words (None: an engine's sound; "": silence), and how its phone codes it."""

    file: str
    photo: str
    words: str | None
    size: tuple[int, int]
    coding: tuple[str, ...]
    rate: int = 30
    seconds: float = 6
    is_hlg: bool = False
    is_turned: bool = False
    is_uneven: bool = False


CLIPS = (
    Clip("IMG_0412.MOV", "front-three-quarter-left.jpg", "This is the front, from the left corner. "
         "The left fog light lens is cracked. The light works.", (1920, 1080), (*_HEVC, "-crf", "31"),
         is_hlg=True, is_turned=True),
    Clip("IMG_0413.MOV", "fog-light-cracked.jpg", "Here is the crack. A stone did that.",
         (3840, 2160), (*_H264, "-crf", "34"), seconds=4),
    Clip("VID_0415.mp4", "arch-rust-close.jpg", "The right rear arch. The rust bubbles under the paint. "
         "We sealed it.", (1280, 720), (*_H264, "-crf", "27"), is_uneven=True),
    Clip("VID_0416.mp4", "underbody-rail-welds.jpg", "Underneath, the left rail has rust on the welds. "
         "The metal under it is hard.", (1920, 1080), (*_HEVC, "-crf", "32")),
    Clip("IMG_0417.MOV", "front-three-quarter-left.jpg", None, (1280, 720), (*_H264, "-crf", "30"), rate=60),
    Clip("VID_0418.mp4", "roof-rail-faded.jpg", "", (1280, 720), (*_H264, "-crf", "28"), seconds=4),
)  # fmt: skip


def make_clip(clip: Clip, photos: Path, to: Path) -> None:
    """Write one clip into the folder `to`."""
    program = find_program()
    assert program is not None, "FFmpeg is missing"
    with TemporaryDirectory() as scratch:
        sound = _sound(clip, Path(scratch))
        coded = Path(scratch) / f"coded{Path(clip.file).suffix.lower()}"
        command = [
            program.path,
            "-v",
            "error",
            "-y",
            "-loop",
            "1",
            "-r",
            clip.rate,
            "-i",
            photos / clip.photo,
            *sound,
        ]
        uneven = ["-fps_mode", "vfr"] if clip.is_uneven else []
        command += ["-filter_complex", f"[0:v]{_moved(clip)}[v];[1:a]apad[a]", "-map", "[v]", "-map", "[a]"]
        command += ["-t", clip.seconds, *uneven, *clip.coding, "-c:a", "aac", "-b:a", "96k"]
        _run([*command, "-metadata", f"location={LOCATION}", coded])
        turned = ["-display_rotation", "-90"] if clip.is_turned else []
        _run(
            [
                program.path,
                "-v",
                "error",
                "-y",
                *turned,
                "-i",
                coded,
                "-map_metadata",
                0,
                "-c",
                "copy",
                to / clip.file,
            ]
        )


def _sound(clip: Clip, scratch: Path) -> list[object]:
    if clip.words is None:
        return ["-f", "lavfi", "-i", _ENGINE]
    if not clip.words:
        return ["-f", "lavfi", "-i", "anullsrc=r=48000:cl=mono"]
    spoken = scratch / "spoken.wav"
    _run(["espeak-ng", "-v", "en-us", "-s", 150, "-w", spoken, clip.words])
    return ["-i", spoken]


def _moved(clip: Clip) -> str:
    """Return the filters of a clip: the moving crop, turned if its matrix turns it back, and its rate and colors."""
    width, height = clip.size[::-1] if clip.is_turned else clip.size
    filters = [moved_crop(width, height, clip.seconds)]
    if clip.is_turned:
        filters.append("transpose=cclock")
    if clip.is_uneven:
        filters.append("select='mod(n\\,7)*mod(n+1\\,5)'")
    filters.append(_HLG if clip.is_hlg else "format=yuv420p")
    return ",".join(filters)


def moved_crop(width: int, height: int, seconds: float) -> str:
    """Return the filter that moves a crop over a photo: a slow pan, two waves of shake, and grain."""
    margin = 1.12
    shake = min(width, height) * 0.012
    x = f"(iw-ow)/2+(iw-ow)/2*(t/{seconds}-0.5)*1.2+{shake:.1f}*sin(2.1*t)*sin(5.3*t)"
    y = f"(ih-oh)/2+{shake:.1f}*sin(3.1*t+1)*cos(6.7*t)"
    scale = f"{round(width * margin)}:{round(height * margin)}:force_original_aspect_ratio=increase:flags=bicubic"
    return f"scale={scale},crop={width}:{height}:x='{x}':y='{y}',noise=alls=5:allf=t"


def _run(command: list[object]) -> None:
    subprocess.run([str(part) for part in command], check=True)


if __name__ == "__main__":
    vehicle = Path(sys.argv[1])
    (vehicle / "film").mkdir(exist_ok=True)
    for clip in CLIPS:
        make_clip(clip, vehicle / "photos", vehicle / "film")
