"""Rules of the house that no linter knows: plain packages, folders of a size, an allowed top level."""

from __future__ import annotations

import ast
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
CORE = sorted((ROOT / "webapp" / "core").rglob("*.py"))
PACKAGES = sorted((ROOT / "webapp").rglob("__init__.py"))
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "webapp", "static", "templates", "tests", "e2e"}
NOW = ROOT / "webapp" / "core" / "now"
TWINS = sorted(path.stem for path in NOW.glob("*.py") if (ROOT / "static" / "js" / "now" / f"{path.stem}.js").exists())


def _name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def _imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
    return found


def _tracked() -> list[str]:
    run = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True)
    return run.stdout.splitlines()


@pytest.mark.parametrize("path", CORE, ids=_name)
def test_core_neither_reads_nor_writes(path: Path) -> None:
    """Imports are kept by contracts; these few need none."""
    calls = [node.func for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, ast.Call)]
    assert not {call.id for call in calls if isinstance(call, ast.Name)} & {"open", "print", "input", "__import__"}


@pytest.mark.parametrize("path", PACKAGES, ids=_name)
def test_package_openers_are_a_docstring_and_nothing_else(path: Path) -> None:
    """An import there would make every module of the package an importer of it, and hide who needs whom."""
    body = ast.parse(path.read_text(encoding="utf-8")).body
    assert len(body) == 1
    assert isinstance(body[0], ast.Expr)


@pytest.mark.parametrize("name", TWINS)
def test_twins_use_plain_arithmetic_only(name: str) -> None:
    """Python and JavaScript agree bit for bit on + - * / and comparison; on little else."""
    tree = ast.parse((NOW / f"{name}.py").read_text(encoding="utf-8"))
    banned_calls = {"round", "sum", "sorted", "set", "frozenset", "pow", "divmod"}
    for node in ast.walk(tree):
        assert not isinstance(node, ast.Pow | ast.FloorDiv | ast.Mod), f"{name}: ** // % differ between languages"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in banned_calls, f"{name} line {node.lineno}: {node.func.id}"
    allowed = {"__future__", "dataclasses", "collections.abc", "webapp.core.plan", "webapp.core.kinds"}
    allowed |= {f"webapp.core.now.{twin}" for twin in TWINS}
    assert _imports(NOW / f"{name}.py") <= allowed


def test_the_twins_are_found() -> None:
    assert {"journal", "walk", "chain", "retime", "fridge_clock"} <= set(TWINS)


def test_top_level_holds_only_what_it_may() -> None:
    tops = {line.split("/")[0] for line in _tracked()}
    assert {name for name in tops if not name.startswith(".")} <= TOP_LEVEL


def test_no_folder_is_a_flat_floor() -> None:
    """A folder that is read at a glance: at most 16 entries in code and pages, at most 20 on the ground floor."""
    entries: dict[str, set[str]] = {}
    for line in _tracked():
        parts = line.split("/")
        for depth in range(1, len(parts)):
            entries.setdefault("/".join(parts[:depth]), set()).add(parts[depth])
    for folder, inside in entries.items():
        if folder.split("/")[0] in ("webapp", "templates") or folder.startswith("static/js"):
            assert len(inside) <= (20 if folder == "webapp" else 16), f"{folder} has {len(inside)} entries"


def test_no_drawer_for_leftovers() -> None:
    banned = {"utils", "helpers", "services", "managers", "misc", "common"}
    assert not [path for path in (ROOT / "webapp").rglob("*") if path.stem in banned]
