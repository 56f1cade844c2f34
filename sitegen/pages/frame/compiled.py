"""A bytecode cache for templates, shared by all languages of one process."""

from __future__ import annotations

from jinja2 import BytecodeCache
from jinja2.bccache import Bucket


class Compiled(BytecodeCache):
    """Jinja bytecode cache. Its key is the template's path and the digest of its text."""

    def __init__(self) -> None:
        self._bytecode: dict[tuple[str, str], bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Load the bytecode of a template into a bucket, if it is cached."""
        bytecode = self._bytecode.get((bucket.key, bucket.checksum))
        if bytecode is not None:
            bucket.bytecode_from_string(bytecode)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Store the bytecode of a template."""
        self._bytecode[bucket.key, bucket.checksum] = bucket.bytecode_to_string()
