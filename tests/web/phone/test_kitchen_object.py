"""The kitchen screen: every field declared, no script that brings in itself, small files."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from webapp.machine import folders

JS = folders.static_folder() / "js"
SCREEN = [path for name in ("kitchen", "state", "step", "sheets") for path in sorted((JS / name).glob("*.js"))]
IMPORT = re.compile(r"""(?:from|import)\s*\(?\s*["'](\.{1,2}/[^"']+\.js)["']""")


def _name(path: Path) -> str:
    return path.relative_to(JS).as_posix()


def declared() -> set[str]:
    """Fields, getters and methods of the class in state/known.js."""
    text = (JS / "state/known.js").read_text(encoding="utf-8")
    return set(re.findall(r"^  (?:get )?(\w+)(?: = |\()", text, re.MULTILINE))


@pytest.mark.parametrize("path", SCREEN, ids=_name)
def test_every_field_that_is_used_is_declared(path: Path) -> None:
    used = set(re.findall(r"\bkitchen\.(\w+)", path.read_text(encoding="utf-8"))) - {"js"}
    assert used <= declared(), used - declared()


def reached(path: Path, seen: set[Path]) -> set[Path]:
    """Every script that this one brings in, at once or later."""
    for name in IMPORT.findall(path.read_text(encoding="utf-8")):
        target = (path.parent / name).resolve()
        if target not in seen:
            seen.add(target)
            reached(target, seen)
    return seen


@pytest.mark.parametrize("path", sorted(JS.rglob("*.js")), ids=_name)
def test_no_script_brings_in_itself(path: Path) -> None:
    assert path.resolve() not in reached(path, set())


@pytest.mark.parametrize("path", SCREEN, ids=_name)
def test_scripts_of_the_screen_are_at_most_200_lines(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 200
