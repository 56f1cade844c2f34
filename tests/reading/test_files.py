"""The bytes of a file before YAML parsing: encoding (RFC 3629), allowed characters (YAML 1.2, 5.1), line ends."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from sitegen.reading.validation.record_files import read_record
from sitegen.reading.validation.validating import MOST_REPORTED
from sitegen.records.vehicle_record import VehicleRecord
from tests.reading.texts import INSPECTION

WRONG_PRICE = INSPECTION.replace("13450", "cheap")
TOLD = (
    "inspection.yaml:3:8: price: found cheap; expected an amount of money (13450 or 13450.50); "
    "to mend, write digits only, without a sign, a comma or a unit"
)


def told(folder, content: bytes) -> list[str]:
    file = folder / "inspection.yaml"
    file.write_bytes(content)
    return [problem.as_line() for problem in read_record(VehicleRecord, file, "inspection.yaml")[2]]


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_line_ends_and_byte_order_mark_do_not_shift_places(tmp_path, line_end, mark):
    assert told(tmp_path, mark + WRONG_PRICE.replace("\n", line_end).encode()) == [TOLD]


def test_columns_count_letters_and_not_bytes(tmp_path):
    text = INSPECTION + "additions: [{what: Öl-Kühler 𝄞, stays: perhaps}]\n"
    assert [line.split(": ")[0] for line in told(tmp_path, text.encode())] == ["inspection.yaml:9:40"]


@pytest.mark.parametrize(
    ("content", "line"),
    [
        (
            b"stock: K900\nnotes: caf\xe9\n",
            "inspection.yaml:2:11: found a byte that is not UTF-8 (0xE9); expected text saved as UTF-8; "
            "to mend, save the file again as UTF-8",
        ),
        (
            "stock: K900\n".encode("utf-16"),
            "inspection.yaml:1:1: found text saved as UTF-16; expected text saved as UTF-8; "
            "to mend, save the file again as UTF-8",
        ),
        (
            b"stock: K900\nnotes: a\x00b\n",
            "inspection.yaml:2:9: found a sign that cannot be seen (U+0000); "
            "expected letters, figures and the signs of a text; to mend, delete it",
        ),
        (
            "stock: K900\nnotes: one\u2028two\n".encode(),
            "inspection.yaml:2:11: found a sign that cannot be seen (U+2028); "
            "expected letters, figures and the signs of a text; to mend, delete it",
        ),
        (
            b"stock: K900\n" + b"#" * 2_000_000,
            "inspection.yaml: found a file of 2,000,012 bytes; expected at most 2,000,000 bytes; "
            "to mend, check that this is the right file",
        ),
    ],
    ids=["Latin-1", "UTF-16", "zero", "line separator", "too large"],
)
def test_binary_content_is_reported(tmp_path, content, line):
    assert told(tmp_path, content) == [line]


def test_a_missing_file_is_reported(tmp_path):
    missing = read_record(VehicleRecord, tmp_path / "inspection.yaml", "inspection.yaml")[2]
    assert [problem.as_line() for problem in missing] == [
        "inspection.yaml: found no such file; expected a file of this name; "
        "to mend, write it, or check the spelling of its name"
    ]


@pytest.mark.parametrize(
    ("make", "kind"),
    [
        (Path.mkdir, "a folder"),
        (os.mkfifo, "a pipe or a device"),  # whoever opens it waits until somebody writes
        (lambda path: path.symlink_to("/dev/zero"), "a pipe or a device"),  # has no end
    ],
)
def test_folders_and_pipes_are_reported_at_once(tmp_path, make, kind):
    make(tmp_path / "inspection.yaml")
    told = read_record(VehicleRecord, tmp_path / "inspection.yaml", "inspection.yaml")[2]
    assert [problem.as_line() for problem in told] == [
        f"inspection.yaml: found {kind} of this name; expected a text file; to mend, put the file itself there"
    ]


# XML 1.0, production Char; Unicode 16, 23.7 (noncharacters); CVE-2021-42574 (overrides of direction).
@pytest.mark.parametrize("sign", [0, 7, 0x1B, 0x7F, 0x85, 0x2028, 0x202D, 0x202E, 0xFDD0, 0xFFFE, 0xFFFF, 0x10FFFF])
def test_an_escaped_invisible_character_is_rejected(tmp_path, sign):
    content = f'{INSPECTION}notes: "one\\U{sign:08X}two"\n'
    assert told(tmp_path, content.encode()) == [
        f"inspection.yaml:{content.count(chr(10))}:8: found a sign that cannot be seen (U+{sign:04X}), written as an "
        "escape; expected letters, figures and the signs of a text; to mend, delete it"
    ]


def test_all_scripts_and_planes_are_text(tmp_path):
    assert told(tmp_path, f'{INSPECTION}notes: "שלום \\u05e9 𝄞 \\U0001F697 tab\\t and\\nline"\n'.encode()) == []


def test_many_mistakes_are_cut_off_with_a_count(tmp_path):
    lines = told(tmp_path, (INSPECTION + "".join(f"{'k' * 90}{number}: 1\n" for number in range(9_000))).encode())
    assert len(lines) == MOST_REPORTED + 1
    assert "found 8,800 more mistakes; expected a file of another kind, or a few mistakes at a time" in lines[-1]
