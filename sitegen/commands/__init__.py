"""The command line.

Each command reads its arguments, calls the other packages, prints the result and returns an exit code.
"""

from sitegen.commands.entry import main

__all__ = ["main"]
