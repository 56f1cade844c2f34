"""Small sites for the tests of publishing: each page links to all others, and contains the site's version."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

from sitegen.pages.site import Site

TODAY = date(2026, 10, 12)


def a_site(version: str, vehicles: range, picture: Path | None = None) -> Site:
    """Return a site whose pages link to each other and to the style sheet, so that a missing file breaks a link."""
    style = f"assets/style-{version}.css"
    pages = ["index.html", *(f"vehicles/K{number}/index.html" for number in vehicles)]
    links = "".join(f'<a href="/{page}">{page}</a>' for page in pages)
    body = f'<link href="/{style}"><p>version {version}</p>{links}'.encode()
    files = {"pictures/front.jpg": picture} if picture else {}
    return Site({**dict.fromkeys(pages, body), style: version.encode()}, files)


def versions_of_whole_site(folder: Path) -> set[str]:
    """Return the versions found in a published site's pages, after checking that no link is broken."""
    versions = set()
    for page in folder.rglob("*.html"):
        text = page.read_text()
        versions |= set(re.findall(r"version (\w+)", text))
        missing = [link for link in re.findall(r'href="/([^"]+)"', text) if not (folder / link).is_file()]
        assert not missing, f"{page} names {missing}"
    assert (folder / "index.html").is_file()
    return versions
