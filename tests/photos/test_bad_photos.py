"""An unusable photo is reported by name and reason before any picture is made; nothing is half-written."""

from __future__ import annotations

import io
import os
import struct
import zlib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pillow_heif
import pytest
from PIL import Image

from sitegen.photos.deriving.deriving import derive
from sitegen.photos.opening.limits import photo_limits
from sitegen.photos.opening.opening import judge_photo
from sitegen.photos.planning.planning import PhotoFacts, plan_pictures
from sitegen.records.problems import Problem
from tests.photos.lots import a_scene, make, naming, photos_folder, store_of

pillow_heif.register_heif_opener()

ACCEPTED = "a JPEG, PNG, WebP, AVIF or HEIC photo"
COPY_AGAIN = "copy the photo from the phone or camera again"


def told_of(folder: Path, file: str) -> Problem:
    """Return the one problem of a store with a good photo and a bad one, having seen that nothing was made."""
    a_scene((200, 150)).save(photos_folder(folder) / "good.jpg")
    pictures, problems = make(store_of(folder, naming("good.jpg", file)))
    assert pictures.files() == {}
    assert list((folder / ".cache/files").iterdir()) == []
    assert len(problems) == 1
    return problems[0]


def a_problem(file: str, found: str, expected: str, mend: str) -> Problem:
    return Problem(f"vehicles/K900/photos/{file}", 0, 0, "", found, expected, mend)


def test_an_empty_file(tmp_path):
    (photos_folder(tmp_path) / "photo.jpg").write_bytes(b"")
    assert told_of(tmp_path, "photo.jpg") == a_problem("photo.jpg", "an empty file", ACCEPTED, COPY_AGAIN)


@pytest.mark.parametrize("file", ["photo.jpg", "photo.png", "photo.webp", "photo.avif", "photo.heic"])
@pytest.mark.parametrize("left", [0.5, 0.98])
def test_a_photo_cut_short_on_the_way(tmp_path, file, left):
    """Each format says how long it is: by an end marker (ITU-T T.81, B.1.1; W3C PNG, 5.6) or by lengths."""
    path = photos_folder(tmp_path) / file
    a_scene().save(path, "HEIF" if file.endswith("heic") else None)
    path.write_bytes(path.read_bytes()[: int(path.stat().st_size * left)])
    expected = a_problem(file, "a photo that ends before its time", "the whole photo", COPY_AGAIN)
    assert told_of(tmp_path, file) == expected


def test_a_photo_cut_short_is_not_excused_by_its_thumbnail(tmp_path):
    """A thumbnail in the Exif segment is a JPEG of its own, with an end marker of its own."""
    exif = Image.Exif()
    exif[0x010E] = "\xff\xd9" * 20
    path = photos_folder(tmp_path) / "photo.jpg"
    a_scene().save(path, exif=b"Exif\0\0" + b"II*\0\x08\0\0\0\0\0\0\0\0\0" + b"\xff\xd8\xff\xd9" * 9)
    path.write_bytes(path.read_bytes()[:-200])
    assert told_of(tmp_path, "photo.jpg").found == "a photo that ends before its time"


def test_a_name_with_the_ending_of_another_format(tmp_path):
    a_scene().save(photos_folder(tmp_path) / "photo.png", "JPEG")
    assert told_of(tmp_path, "photo.png") == a_problem(
        "photo.png",
        "a JPEG photo named photo.png",
        "a name ending in .jpg",
        "rename it to photo.jpg, here and in the record",
    )


def test_a_file_that_is_no_photo(tmp_path):
    (photos_folder(tmp_path) / "photo.jpg").write_text("Dear reader, this is a letter.")
    mend = "put the photo itself here, or take its name out of the record"
    assert told_of(tmp_path, "photo.jpg") == a_problem("photo.jpg", "a file that is no photo", ACCEPTED, mend)


def test_a_picture_of_a_kind_that_phones_do_not_take(tmp_path):
    a_scene().save(photos_folder(tmp_path) / "photo.gif")
    expected = a_problem("photo.gif", "a GIF picture", ACCEPTED, "save it as a JPEG or PNG")
    assert told_of(tmp_path, "photo.gif") == expected


@pytest.mark.parametrize("side", [9_500, 60_000])
def test_a_picture_that_would_fill_the_memory(tmp_path, side):
    """A PNG of a few hundred bytes that claims 90 or 3,600 megapixels (W3C PNG, 11.2.1: width, height, depth...)."""
    header = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    write_png(photos_folder(tmp_path) / "photo.png", header, zlib.compress(b"\0" * 100_000))
    assert told_of(tmp_path, "photo.png") == a_problem(
        "photo.png",
        "a picture too large to open safely",
        "at most 80 megapixels",
        "make it smaller, or take the photo again",
    )


def test_an_empty_name_raises():
    """A name that is none is a fault of whoever calls: it raises, and the photo, which is good, gets no blame."""
    written = io.BytesIO()
    a_scene((200, 150)).save(written, "JPEG")
    with pytest.raises(TypeError):
        judge_photo(written.getvalue(), None, photo_limits().refuse)


def test_a_strip_and_a_speck_are_no_photos(tmp_path):
    Image.new("RGB", (2_000, 100)).save(photos_folder(tmp_path) / "strip.png")
    assert told_of(tmp_path, "strip.png") == a_problem(
        "strip.png",
        "a photo of 2000 x 100 pixels",
        "a longer side at most 8 times the shorter",
        "cut it to the part that matters",
    )
    Image.new("RGB", (48, 48)).save(photos_folder(tmp_path) / "speck.png")
    expected = a_problem("speck.png", "a photo of 48 x 48 pixels", "at least 64 pixels each way", COPY_AGAIN)
    assert told_of(tmp_path, "speck.png") == expected


def test_damage_in_the_pixels_only(tmp_path):
    """The file is well formed, so the good photo is made; the bad one is told, and nothing of it is kept."""
    header = struct.pack(">IIBBBBB", 200, 150, 8, 2, 0, 0, 0)
    write_png(photos_folder(tmp_path) / "photo.png", header, b"these are no compressed pixels")
    a_scene((200, 150)).save(photos_folder(tmp_path) / "good.jpg")
    pictures, problems = make(store_of(tmp_path, naming("good.jpg", "photo.png")))
    assert [problem.file for problem in problems] == ["vehicles/K900/photos/photo.png"]
    assert problems[0].found.startswith("a damaged photo (")
    assert set((tmp_path / ".cache/files").iterdir()) == set(pictures.files().values())


def test_a_png_with_a_wrong_check_value(tmp_path):
    """W3C PNG, 5.3: a CRC ends each chunk; one changed bit is found before anything is decoded."""
    path = photos_folder(tmp_path) / "photo.png"
    a_scene().save(path)
    damaged = bytearray(path.read_bytes())
    damaged[len(damaged) // 2] ^= 1
    path.write_bytes(damaged)
    assert told_of(tmp_path, "photo.png").found.startswith("a damaged photo (")


def test_every_bad_photo_is_reported_in_one_run(tmp_path):
    folder = photos_folder(tmp_path)
    (folder / "a.jpg").write_bytes(b"")
    (folder / "b.jpg").write_text("no photo")
    _, problems = make(store_of(tmp_path, naming("a.jpg", "b.jpg", "missing.jpg")))
    assert [problem.found for problem in problems] == ["an empty file", "a file that is no photo", "no such photo"]


@pytest.mark.parametrize(("make_it", "kind"), [(Path.mkdir, "a folder"), (os.mkfifo, "a pipe or a device")])
def test_folders_and_pipes_are_reported_at_once(tmp_path, make_it, kind):
    make_it(photos_folder(tmp_path) / "photo.jpg")
    assert told_of(tmp_path, "photo.jpg").found == f"{kind} of this name"


# CWE-59 and CWE-22: a link or a path must not bring in a file from elsewhere.
def test_a_link_to_another_place_is_refused(tmp_path):
    secret = tmp_path / "elsewhere.jpg"
    a_scene().save(secret)
    (photos_folder(tmp_path) / "photo.jpg").symlink_to(secret)
    expected = "a photo in the vehicle's photos folder"
    mend = "put the photo itself there instead of the link"
    assert told_of(tmp_path, "photo.jpg") == a_problem("photo.jpg", "a link to another place", expected, mend)


def test_a_linked_folder_of_photos_is_refused(tmp_path):
    (tmp_path / "elsewhere").mkdir()
    a_scene().save(tmp_path / "elsewhere/photo.jpg")
    (photos_folder(tmp_path) / "more").symlink_to(tmp_path / "elsewhere")
    assert told_of(tmp_path, "more/photo.jpg").found == "a link to another place"


@pytest.mark.parametrize("file", ["../../K901/photos/photo.jpg", "/photo.jpg", "..\\photo.jpg", "C:photo.jpg"])
def test_a_path_that_leaves_the_folder_is_refused(tmp_path, file):
    a_scene().save(photos_folder(tmp_path, "K901") / "photo.jpg")
    told = told_of(tmp_path, file)
    assert told.found == "a path that leaves the vehicle's folder"
    assert told.mend == "copy the photo there, and write only photo.jpg"


def write_png(file: Path, header: bytes, pixels: bytes) -> None:
    """Write a PNG whose structure is right, whatever its header claims and its pixels are."""
    chunks = [(b"IHDR", header), (b"IDAT", pixels), (b"IEND", b"")]
    file.write_bytes(b"\x89PNG\r\n\x1a\n" + b"".join(png_chunk(*chunk) for chunk in chunks))


def png_chunk(kind: bytes, data: bytes) -> bytes:
    """Return a PNG chunk: length, type, data, check value (W3C PNG, 5.3)."""
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def test_a_bug_is_not_reported_as_a_damaged_photo():
    """A plan that says where to cover in a wrong way is our own fault; the photo is whole."""
    file = io.BytesIO()
    a_scene().save(file, "JPEG")
    facts = judge_photo(file.getvalue(), "front.jpg", photo_limits().refuse)
    assert isinstance(facts, PhotoFacts)
    no_boxes: Any = ("no box",)
    mistaken = replace(plan_pictures(facts), covers=no_boxes)
    with pytest.raises(AttributeError):
        derive(file.getvalue(), mistaken)


def test_a_name_that_looks_like_an_option_is_not_advised(tmp_path):
    a_scene().save(photos_folder(tmp_path) / "-rf.png", "JPEG")
    assert told_of(tmp_path, "-rf.png").mend == "rename it to rf.jpg, here and in the record"
