"""Pictures contain only pixels: no location, camera, owner, nor anything that was covered."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import pillow_heif
import pytest
from PIL import Image, ImageChops, ImageDraw

from sitegen.photos.deriving.share_picture import CardFigure, ShareCard
from sitegen.photos.planning.recipe import PLATE
from tests.photos.color_profiles import matrix_profile
from tests.photos.lots import (
    STOCK,
    STYLE,
    a_scene,
    far_apart,
    grain,
    make,
    make_one,
    make_share_picture,
    naming,
    opened,
    photos_folder,
    quarter,
    store_of,
)

pillow_heif.register_heif_opener()

SECRET = "Zanzibar-Owner-4711"
TAGS = [
    "-GPSLatitude=12.345678",
    "-GPSLatitudeRef=S",
    "-GPSLongitude=45.678901",
    "-GPSLongitudeRef=E",
    f"-EXIF:SerialNumber={SECRET}",
    f"-EXIF:OwnerName={SECRET}",
    f"-EXIF:ImageDescription={SECRET}",
    f"-XMP-dc:Creator={SECRET}",
    f"-XMP-exif:UserComment={SECRET}",
]
ONLY_IN_JPEG = [
    f"-IPTC:By-line={SECRET}",
    f"-Comment={SECRET}",
    "-Photoshop:CopyrightFlag=1",
    f"-MakerNotes={SECRET}",
]
# What a picture cannot be without, by exiftool's own groups: the file on disk, the format's structure, what exiftool
# works out from the size, and itself.
STRUCTURE = {"SourceFile", "ExifTool", "System", "File", "Composite", "JFIF", "RIFF", "Meta", "QuickTime"}
# In those groups, what could still carry something of the photo.
NEVER = {"Comment", "CreateDate", "ModifyDate", "MediaCreateDate", "ICC_ProfileName", "Description", "XMP", "EXIF"}


@pytest.mark.parametrize("file", ["photo.jpg", "photo.png", "photo.webp", "photo.avif", "photo.heic"])
def test_exiftool_finds_nothing_but_the_format_itself_in_any_picture(tmp_path, file):
    """Written into the photo and looked for in every picture with exiftool; then looked for in the bare bytes."""
    path = photos_folder(tmp_path) / file
    exif = Image.Exif()
    exif[0x010F] = SECRET
    thumbnail = a_scene((160, 120))
    a_scene().save(path, "HEIF" if file.endswith("heic") else None, exif=exif, icc_profile=a_marked_profile())
    preview = tmp_path / "thumbnail.jpg"
    thumbnail.save(preview)
    extra = [*ONLY_IN_JPEG, f"-ThumbnailImage<={preview}"] if file.endswith("jpg") else []
    subprocess.run(["exiftool", "-q", "-m", "-overwrite_original", *TAGS, *extra, str(path)], check=True)
    assert SECRET.encode() in path.read_bytes()
    assert "GPSLatitude" in json.dumps(tags_of([path]))

    pictures, picture = make_one(tmp_path, file)
    card = ShareCard("2018 Brevik Fjordline", (CardFigure("Lowest tread", "6/32 in"),), "Ferrow Lane", STYLE, picture)
    files = [*pictures.files().values(), make_share_picture(card, pictures)]
    for tags in tags_of(files):
        groups = {name.split(":")[0] for name in tags}
        assert groups <= STRUCTURE, tags
        assert not {name.split(":")[-1] for name in tags} & NEVER, tags
    for made in files:
        content = made.read_bytes()
        assert all(
            trace not in content for trace in (SECRET.encode(), b"Exif", b"http://ns.adobe.com", b"ICC_PROFILE")
        )


def test_no_picture_of_a_demo_photo_has_a_location_or_camera_data():
    """The demo photos carry a position and camera data (some of them); the names of pictures carry none of theirs."""
    photos = sorted(Path("demo_site/vehicles").glob("*/photos/*"))
    tags = json.dumps(tags_of(photos))
    assert "GPSLatitude" in tags
    assert "Make" in tags


PLATE_REGION = {"x": 0.40, "y": 0.60, "w": 0.25, "h": 0.15}


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_covered_region_is_one_plain_color_in_every_picture(tmp_path, orientation):
    """However the photo is stored: noise under the cover leaves no trace in any picture; beside it noise stays."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    # Turned by Pillow, which is asked for the inverse of what the tag tells to do.
    turns = {2: 0, 3: 3, 4: 1, 5: 5, 6: 2, 7: 6, 8: 4}
    around = grain()
    made: list[list[Image.Image]] = []
    for under in (grain(), a_scene()):
        upright = around.copy()
        upright.paste(under.crop(pixels_of(PLATE_REGION, under)), pixels_of(PLATE_REGION, under))
        stored = upright.transpose(Image.Transpose(turns[orientation])) if orientation in turns else upright
        folder = tmp_path / str(len(made))
        stored.save(photos_folder(folder) / "photo.png", exif=exif)
        pictures, picture = make_one(folder, "photo.png", cover=[PLATE_REGION])
        made.append([opened(pictures, name) for name in picture.names()])
    assert all(ImageChops.difference(one, other).getbbox() is None for one, other in zip(*made, strict=True))
    assert_covered(made[0][-1], PLATE_REGION)
    beside = made[0][-1].crop(pixels_of({**PLATE_REGION, "x": 0.05}, made[0][-1]))
    assert min(high - low for low, high in extremes(beside)) > 100


def test_letters_on_a_covered_plate_leave_no_trace(tmp_path):
    """Two photos that differ only under the cover give the very same pixels, so nothing can be recovered."""
    made = []
    for letters in ("FLU 0142", "XKM 8890"):
        photo = a_scene((800, 600))
        draw = ImageDraw.Draw(photo)
        draw.rectangle((330, 370, 510, 440), "white")
        draw.text((340, 380), letters, "black", font_size=36)
        folder = tmp_path / letters[:3]
        # In a PNG, for a JPEG's blocks would carry a little of the letters beyond the cover by themselves.
        photo.save(photos_folder(folder) / "photo.png")
        pictures, picture = make_one(folder, "photo.png", cover=[PLATE_REGION])
        made.append([opened(pictures, name) for name in picture.names()])
    assert all(ImageChops.difference(one, other).getbbox() is None for one, other in zip(*made, strict=True))


def test_a_cover_asked_for_in_one_place_holds_wherever_the_photo_is_shown(tmp_path):
    """The same file shown as a photo of the vehicle, uncovered in the record, and as a photo of a defect, covered."""
    grain().save(photos_folder(tmp_path) / "rear.png")
    other = {"x": 0.05, "y": 0.05, "w": 0.2, "h": 0.2}
    defect = {
        "id": "rear-scuff",
        "kind": "scuff",
        "where": {"station": "rear", "part": "bumper"},
        "affects": "looks",
        "words": "A scuff.",
        "photos": [{"file": "rear.png", "shows": "A scuff on the bumper.", "cover": [PLATE_REGION]}],
    }
    vehicle = {**naming("rear.png", cover=[other]), "defects": [defect]}
    pictures, problems = make(store_of(tmp_path, vehicle))
    assert problems == ()
    full = opened(pictures, pictures.of(STOCK, "rear.png").full.name)
    for region in (PLATE_REGION, other):
        assert_covered(full, region)


def test_the_share_picture_shows_the_cover_too(tmp_path):
    """A photo that is covered all over leaves nothing of itself in the share picture."""
    grain((720, 630)).save(photos_folder(tmp_path) / "photo.png")
    pictures, picture = make_one(tmp_path, "photo.png", cover=[{"x": 0, "y": 0, "w": 1, "h": 1}])
    card = ShareCard("2018 Brevik Fjordline", (), "Ferrow Lane", STYLE, picture)
    with Image.open(make_share_picture(card, pictures)) as share:
        left = share.convert("RGB").crop((0, 0, 700, 630))
    assert max(high - low for low, high in extremes(left)) <= 6


def extremes(image: Image.Image) -> list[tuple[int, int]]:
    """Return the lowest and the highest value of each band."""
    found: Any = image.getextrema()
    return list(found)


def assert_covered(full: Image.Image, region: dict[str, float]) -> None:
    """Assert that a region shows the plain plate, but for the blocks of a JPEG that its edge runs through."""
    left, top, right, bottom = pixels_of(region, full)
    shown = full.crop((left + 16, top + 16, right - 16, bottom - 16))
    assert max(high - low for low, high in extremes(shown)) <= 2
    assert far_apart(quarter(shown, 0, 0), PLATE) <= 2


def pixels_of(region: dict[str, float], image: Image.Image) -> tuple[int, int, int, int]:
    """Return the left, top, right and bottom of a region, in pixels."""
    left, top = region["x"] * image.width, region["y"] * image.height
    return round(left), round(top), round(left + region["w"] * image.width), round(top + region["h"] * image.height)


def tags_of(files: list[Path]) -> list[dict[str, object]]:
    """Return what exiftool finds in files, unknown tags too, each name with its group."""
    command = ["exiftool", "-json", "-a", "-u", "-G0", *map(str, files)]
    found: list[dict[str, object]] = json.loads(subprocess.run(command, check=True, capture_output=True).stdout)
    return found


def a_marked_profile() -> bytes:
    """Return an sRGB profile whose description would give the owner away."""
    srgb = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))
    return matrix_profile(srgb, 2.2).replace(b"none\0", SECRET.encode()[:4] + b"\0")
