"""Core carries kinds, keys and numbers: whatever a person reads is made in `words/` (DEVELOPERS.md)."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

CORE = Path(__file__).parents[2] / "webapp" / "core"
# Three words in a row, or a text that ends as a sentence does.
PROSE = re.compile(r"[A-Za-z]\S* \S+ +\S*[a-z]|[a-z] \S*[a-z][.:]( |$)|[a-z]{2}, [a-z]")
# Names of what a new kitchen begins with, which a person may change: proper names, not sentences.
NAMES = {"Oven tray 38 x 28 cm", "Round pan 28 cm"}


def _docstrings(tree: ast.AST) -> set[int]:
    inside = (body for node in ast.walk(tree) if isinstance(body := getattr(node, "body", None), list))
    return {id(one.value) for body in inside for one in body if isinstance(one, ast.Expr)}


def prose_in(source: str) -> list[str]:
    """Every text in the source that a person could be meant to read."""
    tree = ast.parse(source)
    docs = _docstrings(tree)
    return [
        f"{node.lineno}: {node.value}"
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs
        if PROSE.search(node.value) and node.value not in NAMES
    ]


def test_no_text_in_core_is_a_sentence() -> None:
    found = {str(path.relative_to(CORE)): prose_in(path.read_text(encoding="utf-8")) for path in CORE.rglob("*.py")}
    assert {name: texts for name, texts in found.items() if texts} == {}


@pytest.mark.parametrize(
    "line",
    [
        'raise PlanError.at("pan", "There must be at least one pan.")',
        'Problem("away", f"{typed!r} is not a date.")',
        'assert step.mark, "only steps with a mark are looked at"',
        'WAY_OUT = "Correct it."',
        'Row("early", 0.0005, "each minute that supper is sooner")',
    ],
)
def test_a_sentence_that_comes_in_is_found(line: str) -> None:
    assert prose_in(line)
