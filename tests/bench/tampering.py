"""Bench `tampering`: random harm to a ledger of three publications; how much of it is found and named. No timing."""

from __future__ import annotations

import argparse
import tempfile
from collections import Counter
from pathlib import Path

from tests.ledger.conftest import publish_thrice
from tests.ledger.tampering import tamper


def run(arguments: argparse.Namespace) -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder:
        store = publish_thrice(Path(folder) / "store")
        results = list(tamper(store, arguments.tamperings, arguments.seed))
    tried, named = Counter(kind for kind, _ in results), Counter(kind for kind, is_named in results if is_named)
    print("| harm | tried | found and named |\n| --- | --- | --- |")
    for kind in sorted(tried):
        print(f"| {kind} | {tried[kind]:,} | {named[kind]:,} |")
    print(f"| in all | {tried.total():,} | {named.total():,} |")
