"""By which words this server speaks: what a phone compares to see that what it has packed is worded as before."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

_ROOMS = ("data", "words")  # the tables that name doughs, toppings and causes, and sentences


@cache
def worded() -> str:
    """A short digest of all that words are made of: another one after an upgrade that says anything otherwise."""
    webapp, digest = Path(__file__).parents[2], hashlib.sha256()
    for room in _ROOMS:
        for file in sorted((webapp / room).rglob("*")):
            if file.suffix in (".py", ".toml"):
                digest.update(file.read_bytes())
    return digest.hexdigest()[:12]
