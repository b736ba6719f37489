"""Reads a shipped table (`webapp/data/tables/*.toml`) as plain values. Read once, then kept; never written.

Each row names its source for people who read the file; the sources that are shown (cautions, causes) go on into the
records, the others stay behind.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any


@cache
def table(name: str) -> dict[str, Any]:
    """The plain content of `webapp/data/tables/<name>.toml`. Treat it as read-only: it is shared."""
    file = resources.files("webapp.data").joinpath("tables", f"{name}.toml")
    return tomllib.loads(file.read_text(encoding="utf-8"))


def without(row: Mapping[str, Any], *names: str) -> dict[str, Any]:
    """A row less these values."""
    return {key: value for key, value in row.items() if key not in names}
