"""Safely unpack a zip from a phone: only expected files, within limits, and inside one folder.

Accepted zips follow ISO/IEC 21320-1 (based on APPNOTE.TXT): stored or deflated entries, one part, no encryption, and
here no 64-bit fields. A zip whose directory contradicts its entries, or whose entries overlap, is rejected.
"""

from __future__ import annotations

import stat
import struct
import unicodedata
import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import BinaryIO
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

LARGEST_ZIP = 3_000_000_000
MOST_ENTRIES = 500
LARGEST_ENTRY = 60_000_000
LARGEST_FILM = 2_000_000_000
FILM_ENDINGS = (".mov", ".mp4", ".m4v", ".3gp", ".webm", ".mkv")
MOST_BYTES = 3_000_000_000
"""Total size after unpacking."""
HIGHEST_RATIO = 200
"""Unpacked size divided by packed size. A photo reaches about 1, a record 5, and deflate at most about 1,000."""
_LARGEST_DIRECTORY = MOST_ENTRIES * 400

_END = struct.Struct("<4s4H2LH")
_LOCAL = struct.Struct("<4s5H3L2H")
_ENCRYPTED = 0x0001 | 0x0040 | 0x2000
_PATCHED = 0x0020
_IS_FOLDER = 0x10
"""Folder bit of the MS-DOS file attributes."""
_DAMAGED = (
    BadZipFile,
    zlib.error,
    EOFError,
    struct.error,
    NotImplementedError,
    RuntimeError,
    ValueError,
    OverflowError,
)
"""Exceptions raised for a damaged zip. An invalid UTF-8 name raises ValueError."""

Placing = Callable[[Sequence[str]], tuple[Mapping[str, str], list[str]]]
"""Maps the names in a zip to target paths, and lists what is wrong with them. Unmapped names are not unpacked."""


def unpack(path: Path, folder: Path, placing: Placing) -> list[str]:
    """Unpack a zip into a new folder. Return all errors.

    After an error some files may have been written. The caller deletes the folder.
    """
    if not path.is_file():
        return ["there is no such file"]
    size = path.stat().st_size
    if size > LARGEST_ZIP:
        return [f"it has {size:,} bytes; at most {LARGEST_ZIP:,} are taken"]
    try:
        with path.open("rb") as file:
            fault = _end_record_error(file, size)
            if fault:
                return [fault]
            with ZipFile(file) as archive:
                return _unpack_entries(archive, file, folder, placing)
    except _DAMAGED as fault_of_zip:
        return [f"it is damaged ({printable(str(fault_of_zip))}): save or send it again"]


def _unpack_entries(archive: ZipFile, file: BinaryIO, folder: Path, placing: Placing) -> list[str]:
    entries = archive.infolist()
    faults = list(_entry_errors(entries)) or list(_overlap_errors(entries, file, archive.start_dir))
    if faults:
        return faults
    places, misplaced = placing([entry.orig_filename for entry in entries])
    if misplaced:
        return misplaced
    for entry in entries:
        place = places.get(entry.orig_filename)
        if place is not None:
            target = folder / place
            target.parent.mkdir(parents=True, exist_ok=True)
            with archive.open(entry) as source, target.open("xb") as copy:
                _copy(source.read, copy, entry)
    return []


def _copy(read: Callable[[int], bytes], copy: BinaryIO, entry: ZipInfo) -> None:
    """Copy an entry in pieces. Raises BadZipFile if its size differs from the directory."""
    written = 0
    while piece := read(1 << 20):
        written += len(piece)
        if written > entry.file_size:
            break
        copy.write(piece)
    if written != entry.file_size:
        raise BadZipFile(f"{shown(entry.orig_filename)} has not the size that is said of it")


def _end_record_error(file: BinaryIO, size: int) -> str | None:
    """Return what is wrong with the end record, or None. Checked first, because it gives the directory's size."""
    file.seek(max(0, size - _END.size - 20))
    tail = file.read()
    if len(tail) < _END.size or tail[-_END.size :][:4] != b"PK\x05\x06":
        return "it is no zip, or it was cut short: save or send it again"
    _, disk, disk_of_directory, here, entries, length, offset, comment = _END.unpack(tail[-_END.size :])
    if tail[:4] == b"PK\x06\x07" or 0xFFFF in (here, entries) or 0xFFFFFFFF in (length, offset):
        return f"it holds more, or larger, files than the {MOST_ENTRIES} that are taken"
    if disk or disk_of_directory or here != entries or comment:
        return "it is one of several parts, or carries a comment: save it as one plain zip"
    if entries > MOST_ENTRIES or length > _LARGEST_DIRECTORY:
        return f"it holds {entries} files; at most {MOST_ENTRIES} are taken"
    if offset + length + _END.size != size:
        return "its directory is not where its end says: save or send it again"
    return None


def _entry_errors(entries: Sequence[ZipInfo]) -> Iterator[str]:
    if len(entries) > MOST_ENTRIES:
        yield f"it holds {len(entries)} files; at most {MOST_ENTRIES} are taken"
        return
    seen: dict[str, str] = {}
    for entry in entries:
        name = entry.orig_filename
        normalized = unicodedata.normalize("NFKC", name).casefold()
        if normalized in seen:
            twin = seen[normalized]
            yield f"{shown(name)} stands there twice{'' if twin == name else f', also as {shown(twin)}'}"
        seen.setdefault(normalized, name)
        fault = _name_error(name) or _entry_error(entry)
        if fault:
            yield f"{shown(name)} {fault}"
    if sum(entry.file_size for entry in entries) > MOST_BYTES:
        yield f"it would unpack to more than {MOST_BYTES:,} bytes"


def _name_error(name: str) -> str | None:
    """Return what is wrong with a name, or None: unsafe paths, invisible characters, excessive length."""
    if any(unicodedata.category(character)[0] == "C" for character in name):
        return "has a sign in its name that cannot be seen"
    if "\\" in name or ":" in name or {"", ".", ".."} & set(name.removesuffix("/").split("/")):
        return "has a name that could lead out of its folder"
    if len(name.encode("utf-8", "surrogatepass")) > 200:
        return "has too long a name"
    return None


def _entry_error(entry: ZipInfo) -> str | None:
    kind = stat.S_IFMT(entry.external_attr >> 16)
    is_folder = entry.orig_filename.endswith("/")
    expected = stat.S_IFDIR if is_folder else stat.S_IFREG
    if kind not in (0, expected) or (entry.external_attr & _IS_FOLDER and not is_folder):
        return "is a link, a device or a folder under a file's name; only files are taken"
    if entry.flag_bits & _ENCRYPTED:
        return "is encrypted: save the zip without a password"
    if entry.flag_bits & _PATCHED or entry.compress_type not in (ZIP_STORED, ZIP_DEFLATED):
        return "is packed in a way that is not taken: only stored and deflated files are"
    if is_folder:
        return "is a folder that holds something" if entry.file_size or entry.compress_size else None
    most = LARGEST_FILM if entry.orig_filename.lower().endswith(FILM_ENDINGS) else LARGEST_ENTRY
    if entry.file_size > most:
        return f"has {entry.file_size:,} bytes; at most {most:,} are taken"
    if entry.file_size > HIGHEST_RATIO * max(entry.compress_size, 1):
        return f"would unpack to more than {HIGHEST_RATIO} times its size"
    return None


def _overlap_errors(entries: Sequence[ZipInfo], file: BinaryIO, directory: int) -> Iterator[str]:
    """Yield entries that overlap another entry or the directory. Entries may be in any order."""
    end_before = 0
    for entry in sorted(entries, key=lambda entry: entry.header_offset):
        file.seek(entry.header_offset)
        header = file.read(_LOCAL.size)
        if len(header) < _LOCAL.size or header[:4] != b"PK\x03\x04":
            yield f"{shown(entry.orig_filename)} is not where the directory says: save or send the zip again"
            return
        *_, name_length, extra_length = _LOCAL.unpack(header)
        data = entry.header_offset + _LOCAL.size + name_length + extra_length
        if entry.header_offset < end_before or data + entry.compress_size > directory:
            yield f"{shown(entry.orig_filename)} lies over another file of the zip"
        end_before = data + entry.compress_size


def shown(name: str) -> str:
    """Return a name from a zip for messages: printable and at most 80 characters."""
    return printable(name if len(name) <= 80 else f"{name[:80]}...") or "(no name)"


def printable(text: str) -> str:
    """Return the text with every non-printable character escaped, so that it cannot control a terminal."""
    return "".join(
        character if character.isprintable() else character.encode("unicode_escape").decode("ascii")
        for character in text
    )
