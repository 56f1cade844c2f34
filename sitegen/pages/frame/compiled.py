"""A bytecode cache for templates, shared by all languages and kept between builds."""

from __future__ import annotations

from jinja2 import BytecodeCache
from jinja2.bccache import Bucket

from sitegen.memory import BuildMemory


class Compiled(BytecodeCache):
    """Jinja bytecode cache. Its key is the template's path and the digest of its text."""

    def __init__(self, memory: BuildMemory | None = None) -> None:
        self._memory = memory
        self._bytecode: dict[tuple[str, str], bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Load the bytecode of a template into a bucket, if it is cached."""
        bytecode = self._bytecode.get((bucket.key, bucket.checksum))
        if bytecode is None and self._memory is not None:
            bytecode = self._memory.recall(bucket.key, bucket.checksum)
        if bytecode is not None:
            bucket.bytecode_from_string(bytecode)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Store the bytecode of a template."""
        compiled = bucket.bytecode_to_string()
        self._bytecode[bucket.key, bucket.checksum] = compiled
        if self._memory is not None:
            self._memory.keep(bucket.key, bucket.checksum, compiled)
