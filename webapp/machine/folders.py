"""Where the pages are: beside the code in an installed wheel, at the top level in a checkout."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent


def templates_folder() -> Path:
    """The folder of the Jinja templates."""
    return _folder("templates")


def static_folder() -> Path:
    """The folder served under /static/."""
    return _folder("static")


def _folder(name: str) -> Path:
    installed = _PACKAGE / f"_{name}"
    return installed if installed.is_dir() else _PACKAGE.parent / name
