"""What keeps things from one build to the next, as the rooms see it that make them: who calls them gives it."""

from __future__ import annotations

from typing import Protocol


class BuildMemory(Protocol):
    """Keeps bytes by a name, those that were kept last. Workers on this machine may be given it."""

    def knows(self, name: str) -> bool:
        """Tell whether anything is kept under a name, whatever it was made from."""

    def recall(self, name: str, sources: str) -> bytes | None:
        """Return what was kept, if it was made from these sources by the same program."""

    def keep(self, name: str, sources: str, made: bytes) -> None:
        """Keep what was made from these sources."""
