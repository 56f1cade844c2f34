"""Bench `load`: request pages from a real nginx while its site is published twenty times; check each answer."""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

from tests.nginx import asking, nginx_host, publish_version

PUBLICATIONS = 20


def run(_: argparse.Namespace) -> None:
    """Print how many answers there were; raise SystemExit if one was wrong."""
    with tempfile.TemporaryDirectory() as place:
        to = Path(place) / "published"
        publish_version(to, 0)
        pages = ("/", "/vehicles/K1/", "/vehicles/K39/", "/assets/style-v0.css")
        with nginx_host(to, Path(place)) as host, asking(host, pages, askers=4) as asked:
            for version in range(1, PUBLICATIONS + 1):
                publish_version(to, version)
                asked.at_least(200)
    print("| publications | answers | wrong |")
    print("| --- | --- | --- |")
    print(f"| {PUBLICATIONS} | {asked.count:,} | {len(asked.wrong)} |")
    if asked.wrong:
        raise SystemExit("\n".join(asked.wrong[:10]))
