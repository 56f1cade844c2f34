"""Choose the files that a buyer receives: the page as sold, its sheets, photos, facts and ledger lines. Pure.

Paths stay as on the site, so that the page works from a disk. Links to other pages lead to the site on the web.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Mapping, Sequence
from hashlib import sha256
from pathlib import Path
from urllib.parse import unquote

from sitegen.ledger.lines import Line
from sitegen.pages.frame.addresses import Address, record_file
from sitegen.pages.site import Site

LINES = "ledger-lines.jsonl"
SUMS = "SHA256SUMS"
_LINK = re.compile(rb'(\b(?:href|src|action|poster)=")([^"#?]+)([^"]*")')
_NAMED = re.compile(rb"pictures/[A-Za-z0-9_.-]+|videos?/[A-Za-z0-9_./-]+")
_ELSEWHERE = re.compile("[a-z][a-z0-9+.-]*:|//", re.IGNORECASE)


def handover_files(
    site: Site, stock: str, pages: Sequence[str], about: Sequence[Line], base_address: str, read_me: str
) -> tuple[dict[str, bytes], dict[str, Path]]:
    """Return the files to hand over, by path: those given as bytes, and those that exist on the disk.

    `pages` are the vehicle's pages on the site, `about` its ledger lines, and `read_me` explains the files.
    """
    copied = _needed(site, pages)
    contents = {path: site.pages[path] for path in (record_file(stock), *copied) if path in site.pages}
    included = {*contents, *copied, *pages}
    for page in pages:
        contents[page] = _with_links_out(site.pages[page], Address(page), included, base_address)
    contents["read-me.txt"] = read_me.encode()
    contents[LINES] = b"".join(line.text + b"\n" for line in about)
    return contents, {path: site.files[path] for path in copied if path in site.files}


def sums(digests: Mapping[str, str]) -> bytes:
    """Return a checksum list for `sha256sum --check`: digest, two spaces, path."""
    return "".join(f"{digest}  {path}\n" for path, digest in sorted(digests.items())).encode()


def digest_of(content: bytes) -> str:
    """Return the SHA-256 of the bytes, in hexadecimal."""
    return sha256(content).hexdigest()


def _needed(site: Site, pages: Sequence[str]) -> set[str]:
    """Return the files that the pages depend on: styles, scripts, fonts, pictures, videos."""
    named = {path.decode() for page in pages for path in _NAMED.findall(site.pages[page])}
    links = {
        posixpath.normpath(posixpath.join(posixpath.dirname(page), unquote(link.decode())))
        for page in pages
        for _, link, _ in _LINK.findall(site.pages[page])
    }
    folders = {link.split("/")[0] for link in links if link.endswith((".css", ".js"))}
    in_folders = {path for path in site.pages if path.split("/")[0] in folders}
    return {path for path in {*named, *links, *in_folders} if path in site.files or path in in_folders}


def _with_links_out(page: bytes, at: Address, included: set[str], base_address: str) -> bytes:
    """Return a page in which links to files that are not handed over lead to the site on the web."""

    def absolute_link(match: re.Match[bytes]) -> bytes:
        link = match[2].decode()
        target = posixpath.normpath(posixpath.join(posixpath.dirname(at.file), unquote(link)))
        if _ELSEWHERE.match(link) or target in included:
            return match[0]
        return match[1] + Address(target).canonical(base_address).encode() + match[3]

    return _LINK.sub(absolute_link, page)
