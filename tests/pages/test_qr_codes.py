"""QR codes (ISO/IEC 18004) against those of qrcode, which knows nothing of the library that draws ours."""

from __future__ import annotations

import re
from string import ascii_lowercase, ascii_uppercase, digits

import pytest
import qrcode
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from sitegen.pages.print.qr_codes import QUIET_ZONE, QrCode, qr_code

RUN = re.compile(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z")


def addresses(signs: str) -> st.SearchStrategy[str]:
    word = st.text(signs, min_size=1, max_size=30)
    return st.builds("https://{}.example/{}/vehicles/{}/".format, word, word, word)


def dark_modules(code: QrCode) -> set[tuple[int, int]]:
    """Return column and row of each dark module that the path draws, and nothing else does."""
    assert not RUN.sub("", code.path)
    runs = [[int(figure) for figure in run] for run in RUN.findall(code.path)]
    assert all(length == back for _, _, length, back in runs)
    return {(start + step, line) for start, line, length, _ in runs for step in range(length)}


def made_by_another(content: str, mask: int | None = None) -> set[tuple[int, int]]:
    """Return the dark modules of a symbol whose content is all bytes."""
    symbol = qrcode.QRCode(error_correction=qrcode.constants.ERROR_CORRECT_M, mask_pattern=mask, border=QUIET_ZONE)
    symbol.add_data(content.encode(), optimize=0)
    rows = enumerate(symbol.get_matrix())
    return {(column, line) for line, row in rows for column, dark in enumerate(row) if dark}


@settings(max_examples=30, deadline=None)
@given(addresses(ascii_lowercase))
def test_every_module_agrees_with_a_second_library(address):
    """At level M; of the eight masks, which a reader undoes, either library may choose another."""
    dark = dark_modules(qr_code(address))
    assert any(dark == made_by_another(address, mask) for mask in range(8))


@settings(max_examples=60, deadline=None)
@given(addresses(ascii_lowercase + ascii_uppercase + digits + "-_~."))
def test_any_address_is_read_back_from_its_qr_code(address):
    """Capitals and digits may be written shorter than as bytes, so there the modules are not the same."""
    code = qr_code(address)
    picture = Image.new("L", (code.side, code.side), 255)
    for module in dark_modules(code):
        picture.putpixel(module, 0)
    (read,) = zxingcpp.read_barcodes(picture.resize((code.side * 4, code.side * 4), Image.Resampling.NEAREST))
    assert (read.text, read.ec_level) == (address, "M")


@pytest.mark.parametrize(("length", "modules"), [(62, 33), (63, 37), (84, 37), (85, 41)])
def test_a_symbol_has_the_smallest_version_for_its_bytes(length, modules):
    """ISO/IEC 18004, table 7, from memory: at level M, 62 bytes fit in version 4, 84 in version 5."""
    code = qr_code("https://lot.example/".ljust(length, "x"))
    assert code.side == modules + 2 * QUIET_ZONE
