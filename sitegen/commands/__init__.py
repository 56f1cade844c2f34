"""What did the person ask for? Arguments, terminal and exit code; each command is one way through the other rooms."""

from sitegen.commands.entry import main

__all__ = ["main"]
