"""Links between pages and addresses on the web, against the standard library's own way of finding them."""

from __future__ import annotations

import posixpath
from urllib.parse import quote, urljoin

from hypothesis import assume, given
from hypothesis import strategies as st

from sitegen.pages.frame.addresses import INDEX, Address

NAMES = st.text("abé -.%", min_size=1, max_size=3).filter(lambda name: name.strip("."))
PATHS = st.lists(NAMES, min_size=1, max_size=5).map("/".join)


@given(PATHS, PATHS)
def test_a_relative_link_leads_from_page_to_page(here, there):
    folder = posixpath.dirname(here)
    assume(not f"{folder}/".startswith(f"{there}/"))  # a file is never a folder too
    assert Address(here).to(there) == quote(posixpath.relpath(there, folder or "."))


@given(st.sampled_from(["https://store.example", "https://store.example/", "https://store.example/lot/4/"]), PATHS)
def test_a_web_address_equals_the_path_resolved_by_a_browser(base, file):
    """Reference resolution of RFC 3986, section 5, as `urllib` does it."""
    assert Address(file).canonical(base) == urljoin(base.rstrip("/") + "/", quote(file))
    assert Address(f"{file}/{INDEX}").canonical(base) == urljoin(base.rstrip("/") + "/", quote(f"{file}/"))
