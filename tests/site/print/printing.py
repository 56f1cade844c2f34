"""Read printed PDFs of Chromium with poppler's tools."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

from PIL import Image, ImageOps

XHTML = "{http://www.w3.org/1999/xhtml}"


def text_of(pdf: Path, page: int | None = None) -> str:
    """Return the words of a PDF, or of one page of it, in the order they were printed, with single spaces between."""
    pages = [] if page is None else ["-f", str(page), "-l", str(page)]
    read = subprocess.run(["pdftotext", "-raw", "-enc", "UTF-8", *pages, pdf, "-"], check=True, capture_output=True)
    return plain(read.stdout.decode())


def plain(text: str) -> str:
    """Return a text with single spaces between its words, as `text_of` gives it."""
    return " ".join(text.split())


def pages_of(pdf: Path) -> int:
    """Return how many pages a PDF has."""
    told = subprocess.run(["pdfinfo", pdf], check=True, capture_output=True, text=True).stdout
    return int(re.search(r"Pages:\s+(\d+)", told)[1])


def pictures_of(pdf: Path, dots_per_inch: int) -> list[Image.Image]:
    """Return each page as a picture."""
    stem = pdf.with_suffix("")
    subprocess.run(["pdftoppm", "-png", "-r", str(dots_per_inch), pdf, stem], check=True)
    return [Image.open(picture) for picture in sorted(stem.parent.glob(f"{stem.name}-*.png"))]


def photos_of(pdf: Path) -> int:
    """Return how many photos are placed in a PDF; drawings are no pictures, and masks are not counted."""
    told = subprocess.run(["pdfimages", "-list", pdf], check=True, capture_output=True, text=True).stdout
    return sum(line.split()[2] == "image" for line in told.splitlines()[2:])


def words_near_an_edge(pdf: Path, margin: float) -> Iterator[str]:
    """Yield each word that is nearer to an edge of the paper than `margin`, in points, or beyond it."""
    read = subprocess.run(["pdftotext", "-bbox", pdf, "-"], check=True, capture_output=True, text=True)
    for page in ElementTree.fromstring(read.stdout).iter(f"{XHTML}page"):
        width, height = float(page.get("width")), float(page.get("height"))
        for word in page.iter(f"{XHTML}word"):
            left, top, right, bottom = (float(word.get(name)) for name in ("xMin", "yMin", "xMax", "yMax"))
            if left < margin or top < margin or right > width - margin or bottom > height - margin:
                yield str(word.text)


def has_ink_near_an_edge(picture: Image.Image, strip: int) -> bool:
    """Tell whether anything is printed within so many dots of an edge."""
    left, top, right, bottom = ImageOps.invert(picture.convert("L")).getbbox()
    width, height = picture.size
    return left < strip or top < strip or right > width - strip or bottom > height - strip


def has_color(picture: Image.Image) -> bool:
    """Tell whether anything is neither black, white nor gray."""
    return picture.convert("HSV").getchannel("S").getextrema()[1] > 0
