"""Zips composed byte by byte per ISO/IEC 21320-1 and APPNOTE.TXT, so that headers can contradict the contents."""

from __future__ import annotations

import random
import struct
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace


@dataclass(frozen=True)
class Entry:
    """One file of a zip, with header fields that may differ from the truth."""

    name: bytes
    content: bytes
    method: int = 8
    flags: int = 0x0800
    mode: int = 0o100644
    attributes: int = 0
    lies: dict[str, int] = field(default_factory=dict)
    """crc, packed_size, size or offset."""
    local_name: bytes | None = None

    @property
    def packed(self) -> bytes:
        """The content, compressed if `deflated`."""
        if self.method != 8:
            return self.content
        packing = zlib.compressobj(9, zlib.DEFLATED, -15)
        return packing.compress(self.content) + packing.flush()

    def told(self) -> tuple[int, int, int]:
        """CRC-32, packed size and size as stated in the headers."""
        crc = self.lies.get("crc", zlib.crc32(self.content))
        size = self.lies.get("size", len(self.content))
        return crc, self.lies.get("packed_size", len(self.packed)), size


def zip_of(entries: Sequence[Entry], *, before: bytes = b"", comment: bytes = b"", count: int | None = None) -> bytes:
    """Return a zip. `count` is the number of entries that its end record states."""
    body, directory = bytearray(before), bytearray()
    for entry in entries:
        offset = entry.lies.get("offset", len(body) - len(before))
        told, local = entry.told(), entry.local_name or entry.name
        body += struct.pack(
            "<4s5H3L2H", b"PK\3\4", 20, entry.flags, entry.method, 0, 0x5A44, *told, len(local), 0
        )  # fmt: skip
        body += local + entry.packed
        directory += struct.pack(
            "<4s4B4H3L5H2L", b"PK\1\2", 20, 3, 20, 0, entry.flags, entry.method, 0, 0x5A44, *told,
            len(entry.name), 0, 0, 0, 0, (entry.mode << 16 | entry.attributes) & 0xFFFFFFFF, offset,
        )  # fmt: skip
        directory += entry.name
    told_count = len(entries) if count is None else count
    end = struct.pack(
        "<4s4H2LH", b"PK\5\6", 0, 0, told_count, told_count, len(directory), len(body) - len(before), len(comment)
    )
    return bytes(body + directory + end + comment)


Good = Sequence[Entry]
Damage = Callable[[random.Random, Good], bytes]


def _with(good: Good, **changes: object) -> bytes:
    """Return a zip whose last entry, a photo, is modified."""
    return zip_of([*good[:-1], replace(good[-1], **changes)])  # type: ignore[arg-type]


def _and(good: Good, *names: bytes, **changes: object) -> bytes:
    """Return a zip that holds its last photo again under additional names."""
    return zip_of([*good, *(replace(good[-1], name=name, **changes) for name in names)])  # type: ignore[arg-type]


def _named(*names: str) -> Damage:
    return lambda chance, good: _and(good, chance.choice(names).encode("utf-8", "surrogatepass"))


def _bytes_changed(chance: random.Random, good: Good) -> bytes:
    whole = bytearray(zip_of(good))
    for _ in range(chance.randint(1, 12)):
        whole[chance.randrange(len(whole))] = chance.randrange(256)
    return bytes(whole)


def _directory_changed(chance: random.Random, good: Good) -> bytes:
    whole = bytearray(zip_of(good))
    start = whole.index(b"PK\1\2")
    for _ in range(chance.randint(1, 6)):
        whole[chance.randrange(start, len(whole))] = chance.randrange(256)
    return bytes(whole)


def _cut(chance: random.Random, good: Good) -> bytes:
    whole = zip_of(good)
    start = chance.randrange(len(whole))
    return chance.choice((whole[:start], whole[start:], whole[:start] + whole[start + chance.randint(1, 99) :]))


def _many(chance: random.Random, good: Good) -> bytes:
    number = chance.choice((210, 600, 1_000))
    return zip_of([*good, *(Entry(b"photos/%d.jpg" % one, b"", method=0) for one in range(number))])


def _bomb(chance: random.Random, good: Good) -> bytes:
    zeros = bytes(chance.choice((400_000, 3_000_000)))
    lies = chance.choice(({}, {"size": 1_000}, {"size": 4_000_000_000}, {"size": 500_000}))
    return zip_of([*good, Entry(b"photos/zeros.jpg", zeros, lies=lies)])


def _overlapping(chance: random.Random, good: Good) -> bytes:
    lies = chance.choice(({"offset": 0}, {"offset": 31}, {"packed_size": 100_000}))
    entries = [*good, *(replace(good[-1], name=b"photos/o%d.jpg" % one, lies=lies) for one in range(5))]
    return zip_of(entries)


def _one_over_another(_: random.Random, good: Good) -> bytes:
    """Return a zip whose last two entries share the same bytes."""
    offset = len(zip_of(good[:-1])) - sum(46 + len(one.name) for one in good[:-1]) - 22
    return zip_of([*good, replace(good[-1], name=b"photos/other.jpg", lies={"offset": offset})])


def _text(chance: random.Random, good: Good) -> bytes:
    """Return a zip with a damaged record and intact photos."""
    content = bytearray(good[0].content)
    start = chance.randrange(len(content))
    content[start : start + chance.randint(1, 40)] = chance.randbytes(chance.randint(0, 40))
    return zip_of([replace(good[0], content=bytes(content)), *good[1:]])


def _photo(chance: random.Random, good: Good) -> bytes:
    content = good[-1].content
    other = chance.choice((b"", content[: len(content) // 2], b"GIF89a" + content, b"<svg/>", chance.randbytes(999)))
    return _with(good, content=other)


DAMAGES: dict[str, Damage] = {
    "absolute": _named("/etc/evil.jpg", "//host/evil.jpg", "/photos/a.jpg", "~/a.jpg"),
    "upward": _named("../evil.jpg", "photos/../../evil.jpg", "photos/../inspection.yaml", "..", "photos/.."),
    "backslash": _named("photos\\evil.jpg", "..\\evil.jpg", "C:\\evil.jpg", "\\\\host\\evil.jpg"),
    "drive": _named("C:evil.jpg", "C:/evil.jpg", "photos/a.jpg:stream"),
    "unseen": _named(
        "photos/a\0.jpg", "photos/\u202egpj.exe", "photos/a\n.jpg", "photos/\x1b[31m.jpg", "a\u200b.jpg"
    ),
    "surrogate": _named("photos/\ud800.jpg", "photos/a\udcff.jpg"),
    "nested": _named("photos/more/a.jpg", "photos/photos/a.jpg", "K110/inspection.yaml", "K110/photos/a.jpg"),
    "other": _named(
        "evil.sh", "photos/evil.html", "photos/a.jpg.exe", ".htaccess", "site.yaml", "video/a.mp4", "photos"
    ),
    "device": _named("photos/con.jpg", "photos/NUL.png", "photos/com1.tar.jpg", "photos/aux.webp"),
    "odd": _named(
        "", "photos/", "photos//a.jpg", "./photos/a.jpg", "photos/.jpg", "photos/-rf.jpg", "more/", "a b.jpg"
    ),
    "long": _named("photos/" + "a" * 190 + ".jpg", "a" * 60_000, "photos/" + "a/" * 400 + "b.jpg"),
    "twice": lambda chance, good: _and(good, chance.choice((good[0].name, good[-1].name))),
    "twins": _named("photos/FRONT.JPG", "Photos/front.jpg", "INSPECTION.yaml", "photos/front.JPG"),
    "bytes": lambda chance, good: _and(good, b"photos/\xff\xfe.jpg", flags=chance.choice((0, 0x0800))),
    "link": lambda _, good: _with(good, content=b"/etc/passwd", mode=0o120777),
    "kind": lambda chance, good: _with(good, mode=chance.choice((0o020666, 0o060666, 0o010644, 0o140644, 0o040755))),
    "folder": lambda _, good: _with(good, attributes=0x10),
    "encrypted": lambda chance, good: _with(good, flags=0x0800 | chance.choice((0x1, 0x41, 0x2001))),
    "packed": lambda chance, good: _with(good, method=chance.choice((1, 6, 9, 12, 14, 93, 99, 60_000))),
    "patched": lambda _, good: _with(good, flags=0x0820),
    "crc": lambda chance, good: _with(good, lies={"crc": chance.getrandbits(32)}),
    "size": lambda chance, good: _with(good, lies={"size": chance.choice((0, 1, 77, 10**6, 2**32 - 1))}),
    "packed size": lambda chance, good: _with(
        good, lies={"packed_size": chance.choice((0, 1, 77, 10**6, 2**32 - 1))}
    ),
    "offset": lambda chance, good: _with(good, lies={"offset": chance.choice((1, 99, 10**6, 2**32 - 2))}),
    "two names": lambda chance, good: _with(good, local_name=chance.choice((b"../evil.jpg", b"a", b"\xff"))),
    "overlapping": _overlapping,
    "one over another": _one_over_another,
    "bomb": _bomb,
    "many": _many,
    "count": lambda chance, good: zip_of(good, count=chance.choice((0, 1, 900, 0xFFFF))),
    "before": lambda chance, good: zip_of(good, before=chance.randbytes(chance.choice((1, 22, 4_000)))),
    "comment": lambda chance, good: zip_of(good, comment=chance.choice((b"hello", zip_of(good)[-22:] * 2))),
    "after": lambda chance, good: zip_of(good) + chance.randbytes(chance.choice((1, 21, 70_000))),
    "no record": lambda _, good: zip_of(good[1:]),
    "nothing": lambda chance, _: chance.choice((b"", b"PK", zip_of([]), chance.randbytes(300))),
    "record": _text,
    "photo": _photo,
    "cut": _cut,
    "changed": _bytes_changed,
    "directory": _directory_changed,
}
"""Ways in which a zip is damaged or hostile. One or two of each kind's choices may leave it whole."""
