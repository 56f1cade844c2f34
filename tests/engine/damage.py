"""Ways in which a file of the cache may be damaged, or something else may stand in its place."""

from __future__ import annotations

import os
import socket
from collections.abc import Callable
from pathlib import Path

Harm = Callable[[Path], object]


def empty(file: Path) -> None:
    file.write_bytes(b"")


def zeroed(file: Path) -> None:
    file.write_bytes(bytes(file.stat().st_size))


def half(file: Path) -> None:
    file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])


def rotted(file: Path) -> None:
    """Change bytes all over the file."""
    content = bytearray(file.read_bytes())
    for place in range(min(100, len(content) // 2), len(content), 97):
        content[place] ^= 0x55
    file.write_bytes(content)


def a_file(place: Path) -> None:
    remove(place)
    place.write_text("a file")


def a_folder(place: Path) -> None:
    remove(place)
    (place / "within").mkdir(parents=True)


def a_pipe(place: Path) -> None:
    remove(place)
    os.mkfifo(place)


def a_socket(place: Path) -> None:
    """Bind by a relative path, because the path of a socket is at most 107 bytes long (unix(7))."""
    remove(place)
    before = Path.cwd()
    os.chdir(place.parent)
    try:
        with socket.socket(socket.AF_UNIX) as bound:
            bound.bind(place.name)
    finally:
        os.chdir(before)


def a_link(place: Path) -> None:
    """Link to a device that never ends."""
    remove(place)
    place.symlink_to("/dev/zero")


def a_link_to_nothing(place: Path) -> None:
    remove(place)
    place.symlink_to("nothing")


def remove(place: Path) -> None:
    """Move away what is there; whoever needs it cannot find it."""
    if os.path.lexists(place):
        place.rename(place.with_name(f".removed-{place.name}"))


DAMAGED: list[Harm] = [empty, zeroed, half, rotted]
REPLACED: list[Harm] = [a_folder, a_pipe, a_socket, a_link, a_link_to_nothing]
