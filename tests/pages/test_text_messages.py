"""How long a text message is. Sources: the table of 3GPP TS 23.038 as the library gsm0338 has it; TS 23.040."""

from __future__ import annotations

import gsm0338
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.pages.desk.text_messages import (
    ALPHABET,
    EXTENSION,
    MessageLength,
    message_length,
    plainly,
    without_costly,
)

GSM = gsm0338.Codec()


def octets(letter: str) -> int | None:
    """Return how many septets a letter takes by the library's table, one to an octet; None if it has none."""
    try:
        return len(GSM.encode(letter)[0])
    except UnicodeEncodeError:
        return None


def test_the_alphabet_and_its_extension_are_those_of_the_standard():
    table = {chr(code): octets(chr(code)) for code in range(0x10000) if not 0xD800 <= code <= 0xDFFF}
    assert {letter for letter, count in table.items() if count == 1} - {"\x1b"} == ALPHABET
    assert {letter for letter, count in table.items() if count == 2} == EXTENSION


# 160 and 153 septets, 70 and 67 units (TS 23.040, 9.2.3.24.1). No letter is cut in two: 152 letters and a euro sign,
# of two septets, leave one septet of the part empty; 66 and a sign beyond the first plane one unit.
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", MessageLength(0, 160, 1, ())),
        ("a" * 160, MessageLength(160, 160, 1, ())),
        ("a" * 161, MessageLength(161, 306, 2, ())),
        ("a" * 307, MessageLength(307, 459, 3, ())),
        ("€" * 80, MessageLength(160, 160, 1, ())),
        ("a" * 152 + "€" + "a" * 152, MessageLength(306, 459, 3, ())),
        ("ñ¿é" * 53 + "ñ", MessageLength(160, 160, 1, ())),
        ("a" * 69 + "á", MessageLength(70, 70, 1, ("á",))),
        ("í" + "a" * 70, MessageLength(71, 134, 2, ("í",))),
        ("a" * 66 + "🚙" + "a" * 66, MessageLength(134, 201, 3, ("🚙",))),
    ],
)
def test_a_message_is_as_long_as_networks_count_it(text: str, expected: MessageLength):
    assert message_length(text) == expected


@given(st.text(alphabet=sorted(ALPHABET | EXTENSION), max_size=600))
def test_a_message_of_the_alphabet_takes_the_septets_of_the_library(text: str):
    assert message_length(text).used == len(GSM.encode(text)[0])


def test_typographic_characters_do_not_shorten_a_message():
    assert plainly("5/32\N{NO-BREAK SPACE}in, “as is” – 3\N{NARROW NO-BREAK SPACE}%") == '5/32 in, "as is" - 3 %'
    assert message_length(plainly("n\N{COMBINING TILDE}")).costly == ()


@given(st.text(max_size=200))
def test_a_message_without_costly_characters_fits_the_default_alphabet(text: str):
    plain = without_costly(text)
    assert not message_length(plain).costly
    assert message_length(plain).parts <= message_length(text).parts
    assert without_costly("ÓXIDO, año, 100 € 🚙") == "OXIDO, año, 100 € "
