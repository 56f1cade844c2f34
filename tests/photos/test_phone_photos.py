"""Photos as phones and cameras write them come out upright and in the right colors, whatever their format."""

from __future__ import annotations

import io
import struct
import subprocess
from pathlib import Path
from typing import Any

import pillow_heif
import pytest
from PIL import Image, ImageCms

from tests.conftest import REPOSITORY
from tests.photos.color_profiles import matrix_profile
from tests.photos.lots import COLORS, a_scene, far_apart, make_one, opened, photos_folder, quarter

pillow_heif.register_heif_opener()

WRITERS: dict[str, dict[str, Any]] = {
    "photo.jpg": {"format": "JPEG", "quality": 95},
    "photo.JPEG": {"format": "JPEG", "quality": 95, "progressive": True},
    "photo.png": {"format": "PNG"},
    "photo.webp": {"format": "WEBP", "quality": 95},
    "photo.avif": {"format": "AVIF", "quality": 95},
    "photo.heic": {"format": "HEIF", "quality": 95},
    "two-lenses.jpg": {
        "format": "MPO",
        "quality": 95,
        "save_all": True,
        "append_images": [Image.new("RGB", (80, 60))],
    },
}


@pytest.mark.parametrize("file", WRITERS)
def test_every_photo_format_of_phones_is_accepted(tmp_path, file):
    """Four quarters keep their places and colors through every format, written by Pillow, libavif and libheif."""
    a_scene().save(photos_folder(tmp_path) / file, **WRITERS[file])
    pictures, picture = make_one(tmp_path, file)
    assert (picture.width, picture.height) == (400, 300)
    assert_upright(opened(pictures, picture.full.name))


# Exif 2.32, tag 0x0112: how the stored rows and columns lie upright. Turned here by Pillow, tagged by exiftool.
STORED_AS = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}


@pytest.mark.parametrize("orientation", STORED_AS)
def test_a_photo_stored_turned_comes_out_upright(tmp_path, orientation):
    """All eight orientations, and the picture's size is that of the upright photo."""
    file = photos_folder(tmp_path) / "photo.jpg"
    turn = STORED_AS[orientation]
    scene = a_scene() if turn is None else a_scene().transpose(turn)
    scene.save(file, quality=95)
    tag(file, f"-Orientation#={orientation}")
    pictures, picture = make_one(tmp_path, "photo.jpg")
    assert (picture.width, picture.height) == (400, 300)
    assert_upright(opened(pictures, picture.full.name))
    assert_upright(opened(pictures, picture.sources[0].sizes[0].name))


@pytest.mark.parametrize("file", ["photo.png", "photo.webp"])
def test_formats_that_seldom_carry_an_orientation_are_turned_by_it_too(tmp_path, file):
    """PNG and WebP keep Exif in a chunk of their own."""
    path = photos_folder(tmp_path) / file
    a_scene().transpose(Image.Transpose.ROTATE_90).save(path, **WRITERS[file])
    tag(path, "-Orientation#=6")
    pictures, picture = make_one(tmp_path, file)
    assert_upright(opened(pictures, picture.full.name))


def test_an_orientation_that_libheif_has_applied_is_not_applied_again(tmp_path):
    """In HEIC the turn is a property of the item (ISO/IEC 23008-12, 6.5.10); the Exif tag repeats it."""
    exif = Image.Exif()
    exif[0x0112] = 6
    stored = a_scene().transpose(Image.Transpose.ROTATE_90)
    stored.save(photos_folder(tmp_path) / "photo.heic", quality=95, exif=exif.tobytes())
    pictures, picture = make_one(tmp_path, "photo.heic")
    assert_upright(opened(pictures, picture.full.name))


# CSS Color 4 (W3C), display-p3 and a98-rgb: primaries in CIE xy, white D65; the gamma of a98-rgb is 563/256. The
# matrices are products of those in its sample code: linear display-p3 or a98-rgb to XYZ, and XYZ to linear sRGB.
DISPLAY_P3 = ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060))
A98_RGB = ((0.640, 0.330), (0.210, 0.710), (0.150, 0.060))
SRGB_FROM_P3 = ((1.2249402, -0.2249402, 0.0), (-0.0420570, 1.0420570, 0.0), (-0.0196376, -0.0786361, 1.0982736))
SRGB_FROM_A98 = ((1.3983557, -0.3983557, 0.0), (0.0, 1.0, 0.0), (0.0, -0.0429290, 1.0429290))


@pytest.mark.parametrize(
    ("primaries", "gamma", "matrix"),
    [(DISPLAY_P3, 2.2, SRGB_FROM_P3), (A98_RGB, 563 / 256, SRGB_FROM_A98)],
    ids=["Display P3", "Adobe RGB"],
)
@pytest.mark.parametrize("color", [(150, 110, 90), (128, 128, 128), (90, 140, 120)])
def test_wide_colors_become_the_same_colors_in_srgb(tmp_path, primaries, gamma, matrix, color):
    """A color inside sRGB keeps its look: the numbers change as the primaries do (relative colorimetric intent)."""
    scene = Image.new("RGB", (400, 300), color)
    scene.save(photos_folder(tmp_path) / "wide.png", icc_profile=matrix_profile(primaries, gamma))
    pictures, picture = make_one(tmp_path, "wide.png")
    assert far_apart(quarter(opened(pictures, picture.full.name), 0, 0), in_srgb(color, gamma, matrix)) <= 2


def test_the_demo_photo_with_a_wide_profile_is_converted(tmp_path):
    """The demo store has one HEIC photo in Display P3; littleCMS, called by itself here, says what it should be."""
    source = REPOSITORY / "demo_site/vehicles/K106/photos/side-left.heic"
    (photos_folder(tmp_path) / "side.heic").write_bytes(source.read_bytes())
    pictures, picture = make_one(tmp_path, "side.heic")
    with Image.open(source) as photo:
        profile = photo.info["icc_profile"]
        wide = photo.convert("RGB").resize((40, 30), Image.Resampling.BOX)
    narrow = converted(wide, profile)
    made = opened(pictures, picture.full.name).resize((40, 30), Image.Resampling.BOX)
    differences = [far_apart(a, b) for a, b in zip(pixels(made), pixels(narrow), strict=True)]
    unconverted = [far_apart(a, b) for a, b in zip(pixels(made), pixels(wide), strict=True)]
    assert max(differences) <= 4
    assert max(unconverted) > max(differences)


def test_an_srgb_profile_changes_nothing(tmp_path):
    """IEC 61966-2-1 by littleCMS's own profile: the picture is the same as without one, to the last bit."""
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    made = []
    for folder, embedded in ((tmp_path / "with", profile), (tmp_path / "without", None)):
        a_scene().save(photos_folder(folder) / "photo.png", icc_profile=embedded)
        pictures, picture = make_one(folder, "photo.png")
        made.append(pictures.files()[picture.full.name].read_bytes())
    assert made[0] == made[1]


def test_a_print_photo_in_cmyk_becomes_rgb(tmp_path):
    """Without a profile, ink-free is white and full black ink is black."""
    inks = Image.new("CMYK", (400, 300), (0, 0, 0, 0))
    inks.paste((0, 0, 0, 255), (200, 0, 400, 300))
    inks.save(photos_folder(tmp_path) / "print.jpg", quality=95)
    pictures, picture = make_one(tmp_path, "print.jpg")
    full = opened(pictures, picture.full.name)
    assert far_apart(quarter(full, 0, 0), (255, 255, 255)) <= 3
    assert far_apart(quarter(full, 1, 0), (0, 0, 0)) <= 3


def test_sixteen_bit_gray_is_scaled_not_cut_off(tmp_path):
    """Of 65535, 32896 is 128 of 255."""
    values = struct.pack("<1H", 32896) * (200 * 150)
    Image.frombytes("I;16", (200, 150), values).save(photos_folder(tmp_path) / "deep.png")
    pictures, picture = make_one(tmp_path, "deep.png")
    assert far_apart(quarter(opened(pictures, picture.full.name), 0, 0), (128, 128, 128)) <= 1


@pytest.mark.parametrize("mode", ["L", "LA", "P", "1", "RGBA"])
def test_other_pixel_formats_keep_their_look(tmp_path, mode):
    """Gray, palette, black and white, with alpha: all look white on top and black below."""
    scene = Image.new("L", (400, 300), 255)
    scene.paste(0, (0, 150, 400, 300))
    scene.convert(mode).save(photos_folder(tmp_path) / "photo.png")
    pictures, picture = make_one(tmp_path, "photo.png")
    full = opened(pictures, picture.full.name)
    assert far_apart(quarter(full, 0, 0), (255, 255, 255)) <= 3
    assert far_apart(quarter(full, 0, 1), (0, 0, 0)) <= 3


def test_transparent_pixels_become_white(tmp_path):
    """Half-transparent red over white is (227, 147, 142), by the usual blending: 255 - (255 - c) / 2."""
    scene = Image.new("RGBA", (400, 300), (*COLORS["red"], 128))
    scene.paste((0, 0, 0, 0), (0, 0, 200, 150))
    scene.save(photos_folder(tmp_path) / "cut-out.png")
    pictures, picture = make_one(tmp_path, "cut-out.png")
    full = opened(pictures, picture.full.name)
    assert far_apart(quarter(full, 0, 0), (255, 255, 255)) <= 2
    assert far_apart(quarter(full, 1, 1), (227, 147, 142)) <= 3


def test_a_broken_profile_does_not_stop_a_photo(tmp_path):
    """A photo whose profile cannot be read counts as sRGB."""
    a_scene().save(photos_folder(tmp_path) / "photo.jpg", quality=95, icc_profile=b"no profile at all")
    pictures, picture = make_one(tmp_path, "photo.jpg")
    assert_upright(opened(pictures, picture.full.name))


def assert_upright(image: Image.Image) -> None:
    """Assert that the quarters of `a_scene` are where they belong, within what lossy formats change."""
    found = [quarter(image, across, down) for down in (0, 1) for across in (0, 1)]
    assert [far_apart(a, b) <= 8 for a, b in zip(found, COLORS.values(), strict=True)] == [True] * 4, found


def tag(file: Path, *arguments: str) -> None:
    """Write metadata with exiftool."""
    subprocess.run(["exiftool", "-q", "-overwrite_original", *arguments, str(file)], check=True)


def pixels(image: Image.Image) -> list[tuple[int, ...]]:
    """Return the colors of a picture."""
    return [image.getpixel((x, y)) for y in range(image.height) for x in range(image.width)]  # type: ignore[misc]


def converted(image: Image.Image, profile: bytes) -> Image.Image:
    """Convert to sRGB with littleCMS, in one plain call."""
    source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
    intent = ImageCms.Intent.RELATIVE_COLORIMETRIC
    result = ImageCms.profileToProfile(image, source, ImageCms.createProfile("sRGB"), renderingIntent=intent)
    assert result is not None
    return result


def in_srgb(color: tuple[int, ...], gamma: float, matrix: tuple[tuple[float, ...], ...]) -> list[float]:
    """Return a color in sRGB, 0 to 255: linear, through the matrix, and encoded as IEC 61966-2-1 says."""
    linear = [(value / 255) ** gamma for value in color]
    mixed = [sum(share * value for share, value in zip(row, linear, strict=True)) for row in matrix]
    return [255 * (12.92 * v if v <= 0.0031308 else 1.055 * v ** (1 / 2.4) - 0.055) for v in mixed]
