"""Runs benches by name: `python -m tests.bench photos`. Prints tables for `.docs/measurements.md`."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from tests.bench import (
    command_line,
    films,
    fuzz,
    growth,
    inventory,
    killed,
    load,
    mutants,
    mutated_films,
    page,
    pages,
    photos,
    rebuild,
    tampering,
)
from tests.bench.machine import machine_lines

BENCHES: dict[str, Callable[[argparse.Namespace], None]] = {
    "command_line": command_line.run,
    "films": films.run,
    "fuzz": fuzz.run,
    "growth": growth.run,
    "inventory": inventory.run,
    "killed": killed.run,
    "load": load.run,
    "mutants": mutants.run,
    "mutated_films": mutated_films.run,
    "page": page.run,
    "pages": pages.run,
    "photos": photos.run,
    "rebuild": rebuild.run,
    "tampering": tampering.run,
}
"""A new bench is a module of this folder with a `run`, and its name here."""


def main() -> None:
    """Run the benches that were asked for, all of them without a name, after saying when and where."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__, allow_abbrev=False)
    parser.add_argument("names", nargs="*", choices=[*BENCHES, []], help="benches to run; all without a name")
    parser.add_argument("--photos", type=int, default=200, help="synthetic photos to use (default 200)")
    parser.add_argument(
        "--vehicles", type=int, default=10_000, help="vehicles in the list, and to grow to (default 10,000)"
    )
    parser.add_argument("--rebuilt", type=int, default=1_000, help="vehicles in the full rebuild (default 1,000)")
    parser.add_argument("--edits", type=int, default=200, help="random edits to build after (default 200)")
    parser.add_argument("--mutants", type=int, default=100, help="mutants to try in each room (default 100)")
    parser.add_argument(
        "--harms", type=int, default=20_000, help="records to harm; fewer of all else (default 20,000)"
    )
    parser.add_argument("--only", nargs="+", choices=fuzz.PARTS, help="kinds of input to fuzz (default all)")
    parser.add_argument("--kills", type=int, default=200, help="builds to kill (default 200)")
    parser.add_argument("--rooms", nargs="+", choices=mutants.ROOMS, help="rooms to put mutants into (default all)")
    parser.add_argument(
        "--kind", choices=("deletion", "operator"), default="deletion", help="kind of mutants (default deletion)"
    )
    parser.add_argument("--tamperings", type=int, default=10_000, help="harms to a ledger (default 10,000)")
    parser.add_argument("--seed", type=int, default=1, help="which mutants, and which harms, are drawn (default 1)")
    arguments = parser.parse_args()
    print("\n".join(machine_lines()), flush=True)
    for name in arguments.names or BENCHES:
        print(f"\n### {name}\n", flush=True)
        BENCHES[name](arguments)


if __name__ == "__main__":
    main()
