"""Find FFmpeg and run it as a separate, limited process.

FFmpeg comes from the PATH or from the wheel of imageio-ffmpeg (the extra `film`). Every input is treated as hostile:
only local files are opened, only by the demuxers and decoders that cameras need.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import subprocess
import sys
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from threading import Timer

_LAUNCHER = Path(__file__).with_name("launcher.py")
_DEMUXERS = "mov,matroska,webm"
_DECODERS = (
    "h264,hevc,libdav1d,av1,libaom-av1,vp8,vp9,libvpx,libvpx-vp9,mpeg4,h263,mjpeg,"
    "aac,mp3float,mp3,opus,libopus,vorbis,libvorbis,alac,amrnb,amrwb,"
    "pcm_s16le,pcm_s16be,pcm_s24le,pcm_s24be,pcm_s32le,pcm_f32le"
)
HOSTILE = ["-protocol_whitelist", "file", "-format_whitelist", _DEMUXERS, "-codec_whitelist", _DECODERS]
"""Options before an untrusted input."""
OWN = ["-protocol_whitelist", "file,pipe"]
"""Options before an input that this program wrote."""


class FilmError(Exception):
    """FFmpeg failed. The message is a phrase for a Problem: 'which is damaged'."""


@dataclass(frozen=True)
class Limits:
    """The resources that one run may use."""

    memory: int = 6 * 2**30
    """Bytes of address space."""
    seconds: int = 3600
    """Of the clock, and for each core of the processor."""
    file_bytes: int = 4 * 2**30
    """Bytes of one output file."""


@dataclass(frozen=True)
class Program:
    """An FFmpeg program: its path and its version."""

    path: Path
    version: str


@cache
def find_program() -> Program | None:
    """Return the FFmpeg to use: the one of imageio-ffmpeg if installed, else that of the PATH, else None.

    The wheel comes first, because its version is pinned and has every codec.
    """
    for path in _candidates():
        with contextlib.suppress(OSError, subprocess.SubprocessError):
            answer = subprocess.run(
                [path, "-hide_banner", "-version"], capture_output=True, text=True, timeout=20, check=True
            )
            return Program(path, answer.stdout.splitlines()[0])
    return None


def _candidates() -> Iterator[Path]:
    with contextlib.suppress(ImportError, RuntimeError):
        from imageio_ffmpeg import get_ffmpeg_exe

        yield Path(get_ffmpeg_exe())
    if found := shutil.which("ffmpeg"):
        yield Path(found).resolve()


def source(file: Path) -> list[str]:
    """Return the arguments that name a file as an input, whatever its name looks like."""
    return ["-i", f"file:{file.absolute()}"]


def target(file: Path) -> str:
    """Return the argument that names a file as the output."""
    return f"file:{file.absolute()}"


def run(
    program: Program,
    arguments: Sequence[str],
    limits: Limits | None = None,
    progress: Callable[[float], None] | None = None,
    folder: Path | None = None,
) -> str:
    """Run FFmpeg and return what it wrote to its error stream (the last 4,000 lines).

    `progress` is called with the seconds of film that are done; `folder` is the working folder.

    Raises FilmError if FFmpeg fails or exceeds a limit.
    """
    limits = limits or Limits()
    cores = os.cpu_count() or 1
    limited = [limits.memory, limits.seconds * cores, limits.file_bytes]
    command = [sys.executable, "-I", "-S", str(_LAUNCHER), *map(str, limited), str(program.path)]
    command += ["-hide_banner", "-nostdin", "-nostats", "-progress", "pipe:1", *arguments]
    with subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
        start_new_session=True,
        cwd=folder,
    ) as process:
        timer = Timer(limits.seconds, process.kill)
        timer.start()
        lines: deque[str] = deque(maxlen=4000)
        try:
            for line in process.stdout or ():
                if line.startswith("out_time_us=") and progress is not None:
                    _report(line, progress)
                lines.append(line)
            process.wait()
        except BaseException:
            process.kill()
            raise
        finally:
            is_over_time = not timer.is_alive()
            timer.cancel()
    text = "".join(lines)
    if process.returncode != 0:
        raise FilmError(_reason(process.returncode, text, is_over_time))
    return text


def _report(line: str, progress: Callable[[float], None]) -> None:
    with contextlib.suppress(ValueError):
        progress(int(line.partition("=")[2]) / 1_000_000)


def _reason(code: int, text: str, is_over_time: bool) -> str:
    if is_over_time or code in (-24, -9):
        return "which takes too long to decode"
    if "Cannot allocate memory" in text:
        return "which needs too much memory to decode"
    return "which is damaged, or holds no picture that can be decoded"
