"""Small sites for the tests of publishing: each page links to all the others, and each holds the site's version."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

from sitegen.pages.site import Site

TODAY = date(2026, 10, 12)


def a_site(version: str, vehicles: range, picture: Path | None = None) -> Site:
    """Return a site whose pages all name each other and its style sheet, so that any missing file breaks a link."""
    style = f"assets/style-{version}.css"
    pages = ["index.html", *(f"vehicles/K{number}/index.html" for number in vehicles)]
    links = "".join(f'<a href="/{page}">{page}</a>' for page in pages)
    body = f'<link href="/{style}"><p>version {version}</p>{links}'.encode()
    files = {"pictures/front.jpg": picture} if picture else {}
    return Site({**dict.fromkeys(pages, body), style: version.encode()}, files)


def versions_of_whole_site(folder: Path) -> set[str]:
    """Return the versions of a published site's pages, after checking that it is whole: no link leads nowhere."""
    versions = set()
    for page in folder.rglob("*.html"):
        text = page.read_text()
        versions |= set(re.findall(r"version (\w+)", text))
        missing = [link for link in re.findall(r'href="/([^"]+)"', text) if not (folder / link).is_file()]
        assert not missing, f"{page} names {missing}"
    assert (folder / "index.html").is_file()
    return versions
