"""What templates compile to: once for all languages, and not again while a template is as it was."""

from __future__ import annotations

from jinja2 import BytecodeCache
from jinja2.bccache import Bucket

from sitegen.memory import BuildMemory


class Compiled(BytecodeCache):
    """Hands out what was compiled before, by the place and the digest of a template's text."""

    def __init__(self, memory: BuildMemory | None = None) -> None:
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
