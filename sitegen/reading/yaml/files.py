"""Text of a file, or the problem with it: missing, too large, not UTF-8, or holding signs that no text has."""

from __future__ import annotations

import codecs
import re
import stat
from pathlib import Path

from sitegen.records.problems import Problem

LARGEST = 2_000_000
"""Bytes. A long inspection has 20,000; more than this is a wrong file."""

# What YAML 1.2 lets a file hold (production c-printable), without the line separators that no editor counts as lines,
# the noncharacters of Unicode (23.7), and the overrides of its direction, which show a text otherwise than it is.
_NO_CHARACTERS = "".join(f"\\U{plane:04x}fffe\\U{plane:04x}ffff" for plane in range(1, 17))
_NOT_TEXT = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\u202c\u202f-\ud7ff\ue000-\ufdcf\ufdf0-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
    f"|[{_NO_CHARACTERS}]"
)
_USUAL_SIGNS = bytes(sign for sign in range(0x80) if not _NOT_TEXT.match(chr(sign)))


def read_text(path: Path, shown_as: str, otherwise: str = "") -> tuple[str | None, list[Problem]]:
    """Return the text of a file, without a byte order mark. If it is no text, return None and why.

    `otherwise` is what else may be done where there is no file.
    """

    def refuse(found: str, expected: str, mend: str, line: int = 0, column: int = 0) -> tuple[None, list[Problem]]:
        return None, [Problem(shown_as, line, column, "", found, expected, mend)]

    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):  # to read a pipe or a device would take for ever
            kind = "a folder" if stat.S_ISDIR(status.st_mode) else "a pipe or a device"
            return refuse(f"{kind} of this name", "a text file", "put the file itself there")
        content = path.read_bytes() if status.st_size <= LARGEST else b""
    except FileNotFoundError:
        mend = f"write it, or check the spelling of its name{otherwise and f', or {otherwise}'}"
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
    unseen = unseen_sign(text)
    if unseen is not None:
        found, place = unseen
        return refuse(found, SIGNS_OF_TEXT, "delete it", *place_of(text[:place]))
    return text, []


SIGNS_OF_TEXT = "letters, figures and the signs of a text"


def unseen_sign(text: str) -> tuple[str, int] | None:
    """Return the first sign that no text has, such as a control character, and where it is; None if there is none."""
    # Of most texts nothing is left without these, and they are taken out in a tenth of the time of the search.
    rest = text.encode("utf-8", "surrogatepass").translate(None, _USUAL_SIGNS).decode("utf-8", "surrogatepass")
    odd = _NOT_TEXT.search(text) if _NOT_TEXT.search(rest) else None
    return None if odd is None else (f"a sign that cannot be seen (U+{ord(odd[0]):04X})", odd.start())


def place_of(before: str) -> tuple[int, int]:
    """Return the line and column, from 1, of what follows `before`. A line ends in LF, CR LF or CR."""
    lines = re.split("\r\n|\r|\n", before)
    return len(lines), len(lines[-1]) + 1
