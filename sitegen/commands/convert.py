"""`sitegen convert`: convert a store's files to the newest format."""

from __future__ import annotations

import argparse

from sitegen.commands.shared.terminal import Terminal
from sitegen.intake.converting import INSPECTIONS
from sitegen.intake.converting import convert as convert_store
from sitegen.reading.vehicle_files import INSPECTION
from sitegen.reading.visits import VISITS
from sitegen.records.store import FORMAT


def convert(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Convert a store, and print what was done with each vehicle's files. After an error, convert nothing."""
    done, problems = convert_store(arguments.store)
    if problems:
        terminal.tell(problems)
        terminal.say_wrong("nothing was converted")
        return 1
    for vehicle in done:
        files = ", ".join(f"{VISITS}/{name}.yaml" for name in vehicle.visits)
        terminal.say(
            f"{vehicle.stock}: its earliest inspection is now {INSPECTION}; the later ones are {files}. "
            f"The folder {INSPECTIONS} and the comments of the later inspections are gone."
        )
    terminal.say(
        f"{arguments.store} has format {FORMAT} now; {len(done)} of its vehicles had earlier inspections. "
        f"Next: sitegen check {arguments.store}"
    )
    return 0
