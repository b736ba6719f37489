"""Families of pages keep to themselves, and each one is registered."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from flask import Flask

from webapp.web import door

FOLDER = Path(door.__file__).parent
TREES = {
    ".".join(("webapp", "web", *path.relative_to(FOLDER).with_suffix("").parts)): ast.parse(path.read_text("utf-8"))
    for path in FOLDER.rglob("*.py")
}


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
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("webapp.web"):
            found |= {str(node.module)} | {f"{node.module}.{alias.name}" for alias in node.names}
    return found


@pytest.mark.parametrize("name", FAMILIES)
def test_a_family_of_pages_imports_no_other_family(name: str) -> None:
    assert not neighbours(name) & set(FAMILIES)


def test_every_family_is_registered(app: Flask) -> None:
    assert len(FAMILIES) >= 12
    assert len(app.blueprints) == len(FAMILIES)
    assert {f"{blueprint.import_name}" for blueprint in app.blueprints.values()} == set(FAMILIES)
