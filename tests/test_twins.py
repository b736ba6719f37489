"""The twins of `core/now` and of `core/plan` read alike: the same functions (snake and camel), in the same order.

That they agree to the last bit is seen by `e2e/test_js_twins.py` and `tests/golden/`.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
NOW = sorted(path for path in (ROOT / "webapp/core/now").glob("*.py") if path.stem != "__init__")
# The modules of records that work something out, on both sides.
PLAN = [ROOT / "webapp/core/plan" / name for name in ("house.py", "retimed.py", "rise.py", "undone.py", "whose.py")]
FUNCTION = re.compile(r"^(?:export )?(?:function (\w+)|const (\w+) = (?:\([^)]*\)|\w+) =>)", re.MULTILINE)
# What only one side has, and why.
PYTHON_ONLY = {
    ("loss", "loss_of"),  # a row of the table, which the script holds as constants
    ("whose", "as_it_stands"),  # of plans kept or shown by the server: in the kitchen static/js/state/whose.js
    ("whose", "with_house"),
    ("whose", "step"),
}
SCRIPT_ONLY = {
    ("chain", "timed_of"),  # the record RetimedStep, made by its class in Python
    ("scene", "same"),  # two choices, compared by their class in Python
}


def _python(path: Path) -> list[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [node.name.lstrip("_") for node in tree.body if isinstance(node, ast.FunctionDef)]


def _script(path: Path) -> list[str]:
    names = [one or other for one, other in FUNCTION.findall(path.read_text(encoding="utf-8"))]
    return [re.sub(r"(?<!^)([A-Z])", lambda found: f"_{found[1].lower()}", name) for name in names]


def test_every_script_beside_the_records_is_the_twin_of_one() -> None:
    assert [path.stem for path in PLAN] == sorted(
        path.stem for path in (ROOT / "static/js/plan").glob("*.js") if path.stem != "kinds"
    )


@pytest.mark.parametrize("path", [*NOW, *PLAN], ids=lambda path: path.stem)
def test_both_sides_have_the_same_functions_in_the_same_order(path: Path) -> None:
    here, there = _python(path), _script(ROOT / "static/js" / path.parent.name / f"{path.stem}.js")
    assert len(here) >= 1
    assert [name for name in here if (path.stem, name) not in PYTHON_ONLY] == [
        name for name in there if (path.stem, name) not in SCRIPT_ONLY
    ]


def test_every_exception_is_one() -> None:
    for stem, name in PYTHON_ONLY:
        (path,) = [one for one in (*NOW, *PLAN) if one.stem == stem]
        assert name in _python(path)
    for stem, name in SCRIPT_ONLY:
        assert name in _script(ROOT / "static/js/now" / f"{stem}.js")
        assert name not in _python(ROOT / "webapp/core/now" / f"{stem}.py")
