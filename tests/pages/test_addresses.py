"""Links between pages, against the standard library's own way of finding one path from another."""

from __future__ import annotations

import posixpath
from urllib.parse import quote

from hypothesis import assume, given
from hypothesis import strategies as st

from sitegen.pages.frame.addresses import Address

NAMES = st.text("abé -.%", min_size=1, max_size=3).filter(lambda name: name.strip("."))
PATHS = st.lists(NAMES, min_size=1, max_size=5).map("/".join)


@given(PATHS, PATHS)
def test_a_link_leads_from_one_page_to_another(here, there):
    folder = posixpath.dirname(here)
    assume(not f"{folder}/".startswith(f"{there}/"))  # a file is never a folder too
    assert Address(here).to(there) == quote(posixpath.relpath(there, folder or "."))
