"""Families of pages keep to themselves, and each one is registered."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from flask import Flask

import webapp.web

FOLDER = Path(webapp.web.__file__).parent
TREES = {path.stem: ast.parse(path.read_text(encoding="utf-8")) for path in FOLDER.glob("*.py")}


def is_family(name: str) -> bool:
    """A module with a blueprint of its own."""
    return any(
        isinstance(node, ast.Assign) and any(isinstance(to, ast.Name) and to.id == "bp" for to in node.targets)
        for node in TREES[name].body
    )


FAMILIES = sorted(name for name in TREES if is_family(name))


def neighbours(name: str) -> set[str]:
    """Modules of the web that this one imports."""
    found = set()
    for node in ast.walk(TREES[name]):
        if isinstance(node, ast.ImportFrom) and node.module == "webapp.web":
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("webapp.web."):
            found.add((node.module or "").split(".")[2])
    return found


@pytest.mark.parametrize("name", FAMILIES)
def test_a_family_of_pages_imports_no_other_family(name: str) -> None:
    assert not neighbours(name) & set(FAMILIES)


def test_every_family_is_registered(app: Flask) -> None:
    assert len(FAMILIES) >= 12
    assert set(app.blueprints) == set(FAMILIES)
