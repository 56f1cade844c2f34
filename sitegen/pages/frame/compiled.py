"""What templates compile to: once for all languages, and not again while a template is as it was."""

from __future__ import annotations

from typing import Protocol

from jinja2 import BytecodeCache
from jinja2.bccache import Bucket


class TemplateMemory(Protocol):
    """Keeps bytes by a name, those that were kept last. It says nothing of what is not as it was kept."""

    def recall(self, name: str, sources: str) -> bytes | None:
        """Return what was kept, if it was made from these sources by the same program."""

    def keep(self, name: str, sources: str, made: bytes) -> None:
        """Keep what was made from these sources."""


class Compiled(BytecodeCache):
    """Hands out what was compiled before, by the place and the digest of a template's text."""

    def __init__(self, memory: TemplateMemory | None = None) -> None:
        self._memory = memory
        self._known: dict[tuple[str, str], bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Put into a bucket what is known of its template."""
        known = self._known.get((bucket.key, bucket.checksum))
        if known is None and self._memory is not None:
            known = self._memory.recall(bucket.key, bucket.checksum)
        if known is not None:
            bucket.bytecode_from_string(known)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep what a template was compiled to."""
        compiled = bucket.bytecode_to_string()
        self._known[bucket.key, bucket.checksum] = compiled
        if self._memory is not None:
            self._memory.keep(bucket.key, bucket.checksum, compiled)
