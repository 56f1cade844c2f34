"""Convert a photo of any color space to 8-bit sRGB without alpha, as browsers expect it."""

from __future__ import annotations

import io

from PIL import Image, ImageChops, ImageCms

PAPER = (255, 255, 255)
"""The background that replaces transparency."""

_SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))
_STEPS = range(0, 256, 51)
_SAMPLES = Image.frombytes(
    "RGB",
    (36, 6),
    bytes(step for red in _STEPS for green in _STEPS for blue in _STEPS for step in (red, green, blue)),
)
"""Sample colors from all over the color cube, including the gray axis and the corners."""
_MODE_OF_SPACE = {"RGB ": "RGB", "CMYK": "CMYK", "GRAY": "L"}


def profile_of(image: Image.Image) -> ImageCms.ImageCmsProfile | None:
    """Return the photo's embedded color profile, or None if there is none or it cannot be read."""
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
    """Return a copy of the photo in sRGB, converted by its profile with relative colorimetric intent.

    Without a profile the colors stay as they are. A profile for other channels than the photo has is ignored.
    """
    if profile is None or _MODE_OF_SPACE.get(profile.profile.xcolor_space) != image.mode:
        return image.convert("RGB")
    try:
        same = image.mode == "RGB" and _is_srgb(profile)
        return image.copy() if same else _converted(image, profile)
    except ImageCms.PyCMSError:
        return image.convert("RGB")


def _is_srgb(profile: ImageCms.ImageCmsProfile) -> bool:
    """Return whether a profile is equivalent to sRGB: it changes no sample color by more than 1 of 255."""
    moved = ImageChops.difference(_SAMPLES, _converted(_SAMPLES, profile))
    return all(most <= 1 for _, most in moved.getextrema())  # type: ignore[misc]


def _converted(image: Image.Image, profile: ImageCms.ImageCmsProfile) -> Image.Image:
    intent = ImageCms.Intent.RELATIVE_COLORIMETRIC
    converted = ImageCms.profileToProfile(image, profile, _SRGB, renderingIntent=intent, outputMode="RGB")
    assert converted is not None  # Pillow returns None only when it converts in place.
    return converted


def _eight_bits(image: Image.Image) -> Image.Image:
    # 16-bit gray: 65535 is white. Pillow's own conversion of these modes cuts off at 255 instead of scaling.
    return image.convert("I").point(lambda value: value * (255 / 65535)).convert("L")
