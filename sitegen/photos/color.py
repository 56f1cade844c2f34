"""Colors as browsers expect them: any photo's colors to 8-bit sRGB, without alpha."""

from __future__ import annotations

import io

from PIL import Image, ImageCms

PAPER = (255, 255, 255)
"""What shows through where a photo is transparent."""

_SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))
_MODE_OF_SPACE = {"RGB ": "RGB", "CMYK": "CMYK", "GRAY": "L"}


def profile_of(image: Image.Image) -> ImageCms.ImageCmsProfile | None:
    """Return the color profile that a photo carries, or None if it has none that can be read."""
    embedded = image.info.get("icc_profile")
    if not embedded:
        return None
    try:
        return ImageCms.ImageCmsProfile(io.BytesIO(embedded))
    except (OSError, ImageCms.PyCMSError):
        return None


def flatten(image: Image.Image) -> Image.Image:
    """Return the photo with 8 bits a channel and without alpha or palette, as mode RGB, L or CMYK."""
    if image.mode in ("RGB", "L", "CMYK"):
        return image
    if image.mode.startswith("I") or image.mode == "F":
        return _eight_bits(image)
    if image.mode == "1":
        return image.convert("L")
    if image.has_transparency_data:
        layered = image if image.mode == "RGBA" else image.convert("RGBA")
        flat = Image.new("RGB", image.size, PAPER)
        flat.paste(layered, mask=layered)
        flat.info = dict(image.info)
        return flat
    return image.convert("RGB")


def to_srgb(image: Image.Image, profile: ImageCms.ImageCmsProfile | None) -> Image.Image:
    """Return the photo in sRGB, by its profile with relative colorimetric intent; without one it counts as sRGB.

    A profile for other channels than the photo has says nothing about it, and is passed over.
    """
    if profile is None or _MODE_OF_SPACE.get(profile.profile.xcolor_space) != image.mode:
        return image.convert("RGB")
    try:
        converted = ImageCms.profileToProfile(
            image, profile, _SRGB, renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC, outputMode="RGB"
        )
    except ImageCms.PyCMSError:
        return image.convert("RGB")
    assert converted is not None
    return converted


def _eight_bits(image: Image.Image) -> Image.Image:
    # 16-bit gray: 65535 is white. Pillow's own conversion of these modes cuts off at 255 instead of scaling.
    return image.convert("I").point(lambda value: value * (255 / 65535)).convert("L")
