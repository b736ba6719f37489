"""Reading one case or a list of cases from a JSON file, so that a simulation of 500 kitchens is one call."""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from webapp.words.problems.told import refused

MOST_BYTES = 200_000_000


def json_of(path: Path) -> Any:
    """What the file holds ("-": standard input); PlanError at "file" when it is no JSON."""
    try:
        data = sys.stdin.buffer.read() if str(path) == "-" else path.read_bytes()
    except OSError as error:
        raise refused("file", f"{path} cannot be read: {error.strerror}.", "Give a file of JSON.") from None
    if len(data) > MOST_BYTES:
        raise refused("file", f"{path} is too large.", "Split it.")
    try:
        return json.loads(data)
    except (ValueError, RecursionError):
        raise refused("file", f"{path} is no JSON.", "Give a file of JSON.") from None


def instant_of(value: object, field: str) -> int:
    """UTC seconds from seconds, or from ISO 8601 like 2026-06-10T17:45 (UTC unless it names an offset)."""
    if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e11:
        return int(value)
    if isinstance(value, str):
        try:
            when = datetime.fromisoformat(value)
        except ValueError:
            when = None
        if when is not None:
            return int((when if when.tzinfo else when.replace(tzinfo=UTC)).timestamp())
    raise refused(field, "This is no instant.", "Give UTC seconds, or a text like 2026-06-10T17:45.")


def number_of(value: object, field: str) -> float:
    """A finite number."""
    if isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value):
        return float(value)
    raise refused(field, "This is no number.", "Give a number.")


def group_of(value: object, field: str) -> Mapping[str, Any]:
    """A JSON object."""
    if not isinstance(value, Mapping):
        raise refused(field, "This is no group of named values.", "See --help for what is expected here.")
    return value


def list_of(value: object, field: str) -> list[Any]:
    """A JSON list."""
    if not isinstance(value, list):
        raise refused(field, "This is no list.", "See --help for what is expected here.")
    return value
