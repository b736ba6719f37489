"""The time zone of this machine by its IANA name: a good guess for a kitchen whose phone has not said otherwise."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from webapp.core.day.day import zone_of
from webapp.core.errors import PlanError

_ROOT = Path("/")


def zone_here(environ: Mapping[str, str] | None = None, root: Path = _ROOT) -> str:
    """ "Europe/Lisbon", or "" when it cannot be told (Windows, a container that runs on UTC).

    TZ wins over the link /etc/localtime, which wins over the text in /etc/timezone, as in most systems.
    """
    asked = (os.environ if environ is None else environ).get("TZ", "").lstrip(":")
    for name in (asked, _linked(root / "etc" / "localtime"), _written(root / "etc" / "timezone")):
        if "/" in name and not name.startswith("Etc/") and _exists(name):
            return name
    return ""


def _linked(path: Path) -> str:
    try:
        target = os.readlink(path)
    except OSError:
        return ""
    return target.split("zoneinfo/", 1)[1] if "zoneinfo/" in target else ""


def _written(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8", errors="replace").strip()
    except OSError:
        return ""


def _exists(name: str) -> bool:
    try:
        zone_of(name)
    except PlanError:
        return False
    return True
