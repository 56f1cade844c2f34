"""Read a text file, or report why it cannot be read: missing, too large, not UTF-8, or with invisible characters."""

from __future__ import annotations

import codecs
import re
import stat
from pathlib import Path

from sitegen.records.problems import Problem

LARGEST = 2_000_000
"""Largest file that is read, in bytes. A long inspection has 20,000."""

# Characters that YAML 1.2 allows (production c-printable), without line separators that editors do not count as
# lines, Unicode noncharacters (23.7), and direction overrides, which display a text differently from its content.
_NO_CHARACTERS = "".join(f"\\U{plane:04x}fffe\\U{plane:04x}ffff" for plane in range(1, 17))
_NOT_TEXT = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\u202c\u202f-\ud7ff\ue000-\ufdcf\ufdf0-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
    f"|[{_NO_CHARACTERS}]"
)
_USUAL_SIGNS = bytes(sign for sign in range(0x80) if not _NOT_TEXT.match(chr(sign)))


def read_text(path: Path, shown_as: str, alternative: str = "") -> tuple[str | None, list[Problem]]:
    """Return the text of a file without its byte order mark, or None and the problem.

    `alternative` is further advice for a missing file.
    """

    def refuse(found: str, expected: str, mend: str, line: int = 0, column: int = 0) -> tuple[None, list[Problem]]:
        return None, [Problem(shown_as, line, column, "", found, expected, mend)]

    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):  # Reading a pipe or a device might never end.
            kind = "a folder" if stat.S_ISDIR(status.st_mode) else "a pipe or a device"
            return refuse(f"{kind} of this name", "a text file", "put the file itself there")
        content = path.read_bytes() if status.st_size <= LARGEST else b""
    except FileNotFoundError:
        mend = f"write it, or check the spelling of its name{alternative and f', or {alternative}'}"
        return refuse("no such file", "a file of this name", mend)
    except OSError as fault:
        why = fault.strerror or type(fault).__name__
        return refuse(f"a file that cannot be read ({why})", "a text file", "check what it is and who may read it")
    if status.st_size > LARGEST:
        found = f"a file of {status.st_size:,} bytes"
        return refuse(found, f"at most {LARGEST:,} bytes", "check that this is the right file")
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return refuse("text saved as UTF-16", "text saved as UTF-8", "save the file again as UTF-8", 1, 1)
    content = content.removeprefix(codecs.BOM_UTF8)
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as fault:
        line, column = place_of(content[: fault.start].decode("utf-8"))
        found = f"a byte that is not UTF-8 (0x{content[fault.start]:02X})"
        return refuse(found, "text saved as UTF-8", "save the file again as UTF-8", line, column)
    unseen = find_invisible_character(text)
    if unseen is not None:
        found, place = unseen
        return refuse(found, SIGNS_OF_TEXT, "delete it", *place_of(text[:place]))
    return text, []


SIGNS_OF_TEXT = "letters, figures and the signs of a text"


def find_invisible_character(text: str) -> tuple[str, int] | None:
    """Return a description and the index of the first character that text must not contain, or None.

    Such characters are control characters, noncharacters and direction overrides.
    """
    # Removing the usual ASCII characters first is ten times faster than searching, and most texts have no others.
    rest = text.encode("utf-8", "surrogatepass").translate(None, _USUAL_SIGNS).decode("utf-8", "surrogatepass")
    odd = _NOT_TEXT.search(text) if _NOT_TEXT.search(rest) else None
    return None if odd is None else (f"a sign that cannot be seen (U+{ord(odd[0]):04X})", odd.start())


def place_of(before: str) -> tuple[int, int]:
    """Return the line and column, from 1, of the character after `before`. Lines end in LF, CR LF or CR."""
    lines = re.split("\r\n|\r|\n", before)
    return len(lines), len(lines[-1]) + 1
