"""Rules of the house that no linter knows: a pure core, plain packages, an allowed top level."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
CORE = sorted((ROOT / "webapp" / "core").glob("*.py"))
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "webapp", "static", "templates", "tests", "e2e"}
ONLY_IN_DAY = "zoneinfo"
WORLD = {"os", "io", "pathlib", "random", "secrets", "logging", "time", "socket", "sqlite3", "subprocess", "uuid"}


def _imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
    return found


@pytest.mark.parametrize("path", CORE, ids=lambda p: p.name)
def test_core_imports_the_standard_library_and_core_alone(path: Path) -> None:
    for name in _imports(path):
        root = name.split(".")[0]
        assert name.startswith("webapp.core") or root in sys.stdlib_module_names, f"{path.name} imports {name}"
        assert root not in WORLD, f"{path.name} reaches for the world: {name}"
        assert root != ONLY_IN_DAY or path.name == "day.py", f"{path.name}: time zones belong to day.py"


def test_every_core_module_imports_with_the_web_blocked() -> None:
    code = (
        "import sys, importlib\n"
        "for name in ('flask','werkzeug','jinja2','icalendar','marshmallow'): sys.modules[name] = None\n"
        f"for name in {[p.stem for p in CORE if p.stem != '__init__']!r}:"
        " importlib.import_module('webapp.core.' + name)\n"
    )
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr


@pytest.mark.parametrize("name", ["webapp/__init__.py", "webapp/core/__init__.py"])
def test_package_openers_are_a_docstring_and_nothing_else(name: str) -> None:
    body = ast.parse((ROOT / name).read_text(encoding="utf-8")).body
    assert len(body) == 1
    assert isinstance(body[0], ast.Expr)


@pytest.mark.parametrize("name", ["journal", "walk", "chain", "retime", "rescue"])
def test_twins_use_plain_arithmetic_only(name: str) -> None:
    """Python and JavaScript agree bit for bit on + - * / and comparison; on little else."""
    tree = ast.parse((ROOT / "webapp" / "core" / f"{name}.py").read_text(encoding="utf-8"))
    banned_calls = {"round", "sum", "sorted", "set", "frozenset", "pow", "divmod"}
    for node in ast.walk(tree):
        assert not isinstance(node, ast.Pow | ast.FloorDiv | ast.Mod), f"{name}: ** // % differ between languages"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in banned_calls, f"{name} line {node.lineno}: {node.func.id}"
    allowed = {"__future__", "dataclasses", "webapp.core.plan", "collections.abc"}
    allowed |= {"webapp.core.walk", "webapp.core.chain", "webapp.core.retime"}  # the twins' own rooms
    assert _imports(ROOT / "webapp" / "core" / f"{name}.py") <= allowed


def test_top_level_holds_only_what_it_may() -> None:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    tops = {line.split("/")[0] for line in listed.splitlines()}
    assert {name for name in tops if not name.startswith(".")} <= TOP_LEVEL


def test_no_drawer_for_leftovers() -> None:
    banned = {"utils", "helpers", "services", "managers", "misc", "common"}
    assert not [p for p in (ROOT / "webapp").rglob("*.py") if p.stem in banned]
