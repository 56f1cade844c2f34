"""Make films as phones and cameras write them: container x coding x depth x transfer x rotation x rate x sound."""

from __future__ import annotations

import struct
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sitegen.film.program import find_program

PROGRAM = find_program()
_CODING = {
    "h264": ["-c:v", "libx264", "-preset", "ultrafast"],
    "hevc": ["-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=error"],
    "av1": ["-c:v", "libsvtav1", "-preset", "12", "-svtav1-params", "lp=1"],
    "vp9": ["-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8"],
    "mpeg4": ["-c:v", "mpeg4"],
    "h263": ["-c:v", "h263"],
}
_HDR = {"hlg": "arib-std-b67", "pq": "smpte2084"}
_SOUND = {
    "speech": "sine=frequency=300:sample_rate=48000,volume=-8dB",
    "quiet": "sine=frequency=300:sample_rate=48000,volume=-45dB",
    "silent": "anullsrc=r=48000:cl=mono",
    "stereo": "aevalsrc='0.1*sin(2*PI*220*t)|0.1*sin(2*PI*330*t)':s=44100",
}


@dataclass(frozen=True)
class Film:
    """One film to make. `rotation` is that of the display matrix, counterclockwise; `mirrored` flips it there."""

    name: str
    coding: str = "h264"
    size: tuple[int, int] = (640, 360)
    rate: str = "30"
    depth: int = 8
    transfer: str = "sdr"
    rotation: int = 0
    mirrored: bool = False
    sound: str = "speech"
    seconds: float = 2
    options: tuple[str, ...] = ()
    damage: str = ""
    """`cut`: a third of the pictures is missing; `zeros`: a hole among them; `no index`: the end is missing."""
    dolby_vision: tuple[int, int] | None = None
    """Profile and compatibility of a Dolby Vision configuration."""

    @property
    def upright(self) -> tuple[int, int]:
        """Return its size as a player shows it."""
        return self.size[::-1] if self.rotation % 180 else self.size


def make_film(film: Film, folder: Path) -> Path:
    """Write a film whose upright picture is red in the left upper quarter; with a location, as phones write it."""
    made = _made(film, folder)
    if film.dolby_vision:
        made.write_bytes(_with_dolby_vision(made.read_bytes(), *film.dolby_vision))
    if film.damage:
        made.write_bytes(_damaged(made.read_bytes(), film.damage))
    return made


def _damaged(content: bytes, damage: str) -> bytes:
    if damage == "no index":
        return content[: len(content) // 2]
    if damage == "cut":
        return content[: len(content) * 2 // 3]
    middle = len(content) // 2
    return content[:middle] + bytes(400) + content[middle + 400 :]


def _with_dolby_vision(content: bytes, profile: int, compatibility: int) -> bytes:
    """Return a MOV with HEVC that states a Dolby Vision configuration. The layout of the box is from memory."""
    bits = profile << 25 | 1 << 19 | 0b101 << 16 | compatibility << 12
    box = struct.pack(">I4sBBI", 32, b"dvvC" if profile > 7 else b"dvcC", 1, 0, bits) + bytes(18)
    return _with_box(content, (b"moov", b"trak", b"mdia", b"minf", b"stbl", b"stsd", b"hvc1"), box)


def _with_box(content: bytes, path: Sequence[bytes], box: bytes) -> bytes:
    """Return boxes with another one at the end of each box at a path: ISO/IEC 14496-12, 4.2."""
    whole, at = b"", 0
    while at + 8 <= len(content):
        size, name = struct.unpack(">I4s", content[at : at + 8])
        inside = content[at + 8 : at + size]
        if name == path[0]:
            head = 8 if name == b"stsd" else 0
            inside = inside + box if len(path) == 1 else inside[:head] + _with_box(inside[head:], path[1:], box)
        whole += struct.pack(">I4s", len(inside) + 8, name) + inside
        at += max(size, 8)
    return whole


def _made(film: Film, folder: Path) -> Path:
    width, height = film.upright
    picture = f"color=c=0x406040:s={width}x{height}:r={film.rate},drawbox=w=iw/2:h=ih/2:color=0xb03020:t=fill"
    picture += f",noise=alls=6:allf=t,{_turned(film)}"
    if film.transfer != "sdr":
        trc = _HDR[film.transfer]
        picture += ",format=gbrp,setparams=color_primaries=bt709:color_trc=iec61966-2-1:colorspace=gbr:range=pc"
        picture += ",zscale=t=linear:npl=203,format=gbrpf32le"
        picture += f",zscale=p=2020:t={trc}:m=2020_ncl:r=tv:npl=203"
    picture += ",format=yuv420p10le" if film.depth == 10 else ",format=yuv420p"
    sound = ["-f", "lavfi", "-i", _SOUND[film.sound]] if film.sound != "none" else []
    coded = folder / f"coded-{film.name}"
    audio = ["-c:a", "libopus"] if film.name.endswith(".webm") else ["-c:a", "aac"]
    if film.name.endswith(".3gp"):
        audio = ["-c:a", "aac", "-ac", "1"]
    command = ["-f", "lavfi", "-i", picture, *sound, "-t", str(film.seconds), *_CODING[film.coding], *audio]
    command += ["-metadata", "location=+40.1234-074.1234/", *film.options]
    _run([*command, str(coded)])
    if not film.rotation and not film.mirrored:
        return coded.rename(folder / film.name)
    matrix = ["-display_rotation", str(film.rotation)]
    if film.mirrored:
        matrix += ["-display_hflip"]
    _run([*matrix, "-i", str(coded), "-map_metadata", "0", "-c", "copy", str(folder / film.name)])
    coded.unlink()
    return folder / film.name


def _turned(film: Film) -> str:
    """Return the filter that undoes the display matrix, so that a player shows the picture upright again."""
    turn = {0: "null", 90: "transpose=clock", 180: "hflip,vflip", 270: "transpose=cclock"}[film.rotation % 360]
    return f"hflip,{turn}" if film.mirrored else turn


def _run(arguments: list[str]) -> None:
    command = [str(PROGRAM.path), "-v", "error", "-y", "-nostdin", *arguments]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
