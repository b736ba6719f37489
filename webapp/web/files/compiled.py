"""Templates are compiled once in a process, whichever app asks: 5 to 40 ms each."""

from __future__ import annotations

from types import CodeType

from flask import Flask
from jinja2.bccache import Bucket, BytecodeCache

_KNOWN: dict[tuple[str, str], CodeType] = {}


class _Compiled(BytecodeCache):
    """By the name of a template's file and what is in it; every app of ours reads templates alike."""

    def load_bytecode(self, bucket: Bucket) -> None:
        bucket.code = _KNOWN.get((bucket.key, bucket.checksum))

    def dump_bytecode(self, bucket: Bucket) -> None:
        if bucket.code is not None:
            _KNOWN[bucket.key, bucket.checksum] = bucket.code


def install(app: Flask) -> None:
    """Before the first page."""
    app.jinja_env.bytecode_cache = _Compiled()
