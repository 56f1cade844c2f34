"""`sitegen schema`: print JSON Schemas of a store's files, for editors that complete and check them."""

from __future__ import annotations

import argparse
import json

from sitegen.commands.shared.terminal import Terminal
from sitegen.reading.schemas import schemas


def schema(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Print one schema, or a mapping of all schemas by file name."""
    by_name = schemas()
    answer = by_name[arguments.record] if arguments.record else {f"{name}.yaml": one for name, one in by_name.items()}
    terminal.say(json.dumps(answer, ensure_ascii=False, indent=2))
    return 0
