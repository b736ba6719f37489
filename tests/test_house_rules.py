"""Rules of the house that no linter knows: plain packages, folders of a size, an allowed top level."""

from __future__ import annotations

import ast
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from webapp.forms.kitchen import MOST_WARM_C

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


def test_core_draws_no_lots() -> None:
    drawn = [_name(path) for path in CORE if ".samples(" in path.read_text(encoding="utf-8")]
    assert drawn == []


@pytest.mark.parametrize("path", CORE, ids=_name)
def test_core_neither_reads_nor_writes(path: Path) -> None:
    """A class may know what the hour is, and these few need no import."""
    calls = [node.func for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, ast.Call)]
    assert not {call.id for call in calls if isinstance(call, ast.Name)} & {"open", "print", "input"}
    assert not {call.attr for call in calls if isinstance(call, ast.Attribute)} & {"now", "today", "utcnow"}


BEHIND = {
    "modules",
    "entry_points",
    "exec",
    "eval",
    "compile",
    "__import__",
    "import_module",
    "resolve_name",
    "run_module",
    "run_path",
}
BEHIND |= {"spec_from_file_location", "spec_from_loader", "module_from_spec", "exec_module", "load_module"}
BEHIND |= {"SourceFileLoader", "source_to_code"}


def _behind_the_contracts(source: str) -> list[str]:
    """Where something is imported or run by a name made up on the way, or that is called otherwise first."""
    found = []
    for node in ast.walk(ast.parse(source)):
        names: list[str] = []
        if isinstance(node, ast.Name):
            names = [node.id]
        elif isinstance(node, ast.Attribute) and node.attr != "compile":  # that is a pattern's
            names = [node.attr]
        elif isinstance(node, ast.ImportFrom):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):  # getattr(importlib, "import_module")
            names = [node.value]
        found += [f"line {getattr(node, 'lineno', 0)}: {name}" for name in names if name in BEHIND]
    return found


def test_nothing_is_imported_or_run_by_a_name_made_up_on_the_way() -> None:
    """Contracts see imports that are written down; these would pass them by."""
    every = {_name(path): path.read_text(encoding="utf-8") for path in sorted((ROOT / "webapp").rglob("*.py"))}
    found = {name: _behind_the_contracts(source) for name, source in every.items()}
    assert {name: lines for name, lines in found.items() if lines} == {}


@pytest.mark.parametrize(
    "source",
    [
        'import importlib\nimportlib.import_module("flask")',
        'from importlib import import_module\nimport_module("flask")',
        'from importlib import import_module as bring\nbring("flask")',
        'import importlib as library\nbring = library.import_module\nbring("flask")',
        'import importlib\ngetattr(importlib, "import_module")("flask")',
        'import sys\nsys.modules["flask"]',
        'from importlib import metadata\nmetadata.entry_points(group="x")',
        'bring = __import__\nbring("flask")',
        'from builtins import exec as run\nrun("import flask")',
        'from importlib.util import spec_from_file_location\nspec_from_file_location("planted", "planted.py")',
        "def run(loader, module):\n    loader.exec_module(module)",
        'def bring(loader):\n    return loader.load_module("flask")',
    ],
)
def test_a_name_made_up_on_the_way_is_found(source: str) -> None:
    assert _behind_the_contracts(source)


@pytest.mark.parametrize("path", PACKAGES, ids=_name)
def test_package_openers_are_a_docstring_and_nothing_else(path: Path) -> None:
    """An import there would make every module of the package an importer of it, and hide who needs whom."""
    body = ast.parse(path.read_text(encoding="utf-8")).body
    assert len(body) == 1
    assert isinstance(body[0], ast.Expr)


@pytest.mark.parametrize("path", [*(NOW / f"{name}.py" for name in TWINS), NOW.parent / "plan" / "rise.py"], ids=_name)
def test_twins_use_plain_arithmetic_only(path: Path) -> None:
    """Python and JavaScript agree bit for bit on + - * / and comparison; on little else."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    banned_calls = {"round", "sum", "sorted", "set", "frozenset", "pow", "divmod"}
    for node in ast.walk(tree):
        assert not isinstance(node, ast.Pow | ast.FloorDiv | ast.Mod), f"{path}: ** // % differ between languages"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in banned_calls, f"{path} line {node.lineno}: {node.func.id}"
    allowed = {"__future__", "dataclasses", "collections.abc", "webapp.core.kinds"}
    allowed |= {one for one in _imports(path) if one.startswith("webapp.core.plan.")}
    allowed |= {f"webapp.core.now.{twin}" for twin in TWINS}
    assert _imports(path) <= allowed


def test_the_twins_are_found() -> None:
    assert {"journal", "walk", "chain", "retime", "fridge_clock"} <= set(TWINS)


# Twins outside core/now: the same functions by the same names, but for what one language has and the other writes out.
DRAWN_TWINS = {"chart": set(), "reading": set(), "svg": {"escape", "many", "hour_of"}}
SCALE_TWINS = {"rounding": {"add_up", "is_whole"}, "mending": {"line_id", "mended"}, "weighing": {"as_poured"},
               "pans": {"rectangle_cm2", "round_cm2", "oval_cm2"}}  # fmt: skip


def _functions(path: Path) -> set[str]:
    """Names of a module's own functions, in snake case and without the mark of what is private."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".py":
        return {node.name.strip("_") for node in ast.parse(text).body if isinstance(node, ast.FunctionDef)}
    found = re.findall(r"^(?:export )?(?:function (\w+)|const (\w+) = \(?[\w, ]*\)? =>)", text, re.MULTILINE)
    return {re.sub(r"(?<!^)([A-Z])", r"_\1", one or other).lower() for one, other in found}


@pytest.mark.parametrize("name", DRAWN_TWINS)
def test_the_chart_is_laid_out_and_drawn_by_the_same_names_on_both_sides(name: str) -> None:
    python, script = (
        _functions(ROOT / folder) for folder in (f"webapp/pictures/{name}.py", f"static/js/pictures/{name}.js")
    )
    assert python ^ script == DRAWN_TWINS[name]


@pytest.mark.parametrize("name", SCALE_TWINS)
def test_weights_are_rounded_and_mended_by_the_same_names_on_both_sides(name: str) -> None:
    for path in (f"webapp/core/scale/{name}.py", f"static/js/scale/{name}.js"):
        assert SCALE_TWINS[name] <= _functions(ROOT / path), path


def test_the_warm_spot_has_one_limit_in_the_settings_and_in_the_kitchen() -> None:
    script = (ROOT / "static/js/sheets/dough_moves.js").read_text(encoding="utf-8")
    assert re.findall(r"MOST_WARM_C = ([\d.]+);", script) == [f"{MOST_WARM_C:g}"]


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


MOST_LINES = {"webapp": 300, "static": 200, "tests": 650, "e2e": 500}  # tests are read a sentence at a time


def test_files_are_read_in_one_sitting() -> None:
    for name in _tracked():
        top = name.split("/")[0]
        if name.endswith((".py", ".js")) and top in MOST_LINES and (ROOT / name).exists():
            lines = len((ROOT / name).read_text(encoding="utf-8").splitlines())
            assert lines <= MOST_LINES[top], f"{name} has {lines} lines"


def _bodies() -> Iterator[tuple[int, str]]:
    """Lines of each function's body, its docstring not counted."""
    for path in (ROOT / "webapp").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                body = node.body[1:] if ast.get_docstring(node) is not None else node.body
                yield (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0, node.name


def test_functions_are_short() -> None:
    """Median 8 at most, nine of ten under 25, none over 50."""
    bodies = list(_bodies())
    lengths = sorted(length for length, _ in bodies)
    assert lengths[len(lengths) // 2] <= 8
    assert lengths[len(lengths) * 9 // 10] < 25
    assert [name for length, name in bodies if length > 50] == []


# Names of files in the text that are no files of ours: examples, and what a test writes.
NO_FILES_OF_OURS = {
    "c.js",
    "e.js",
    "one.js",
    "two.js",
    "kitchen-first.js",
    "kitchen-step.js",
    "kitchen-rest.js",
    "all.js",  # these four are joined by the server
    "ical.js",
    "mine.toml",
    "here.js",
    "planted.py",
    "a.js",
    "b.js",
}
FILE_NAME = re.compile(r"(?<![\w./-])((?:[\w-]+/)*[\w-]+\.(?:py|js|toml|html|css))\b(?!\()")


def test_a_file_that_is_named_is_there() -> None:
    tracked = [name for name in _tracked() if (ROOT / name).exists()]
    for name in tracked:
        if name.endswith((".py", ".js", ".toml", ".html", ".css", ".md")):
            for told in FILE_NAME.findall((ROOT / name).read_text(encoding="utf-8")):
                known = told.rsplit("/", 1)[-1] in NO_FILES_OF_OURS
                assert known or any(f"/{one}".endswith(f"/{told}") for one in tracked), f"{name} names {told}"


def test_one_word_names_one_thing() -> None:
    """No two classes of a name, but for what a module keeps to itself; a door is where pages ask who comes."""
    classes: dict[str, list[str]] = {}
    for path in sorted((ROOT / "webapp").rglob("*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                classes.setdefault(node.name, []).append(_name(path))
    assert {name: places for name, places in classes.items() if len(places) > 1} == {}
    assert [_name(path) for path in (ROOT / "webapp").rglob("door*.py")] == ["webapp/web/door.py"]


# On the ground floor of a script.
SCRIPT_CONSTANT = re.compile(r"^(?:export )?const ([A-Z][A-Z0-9_]*) = ([^;]*);", re.MULTILINE)


def _constants(path: Path) -> Iterator[tuple[str, str]]:
    """Constants of a module that others can see, and what they are; in a script all that stand on its ground floor."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".js":
        yield from SCRIPT_CONSTANT.findall(text)
        return
    for node in ast.parse(text).body:
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            if isinstance(target, ast.Name) and re.fullmatch(r"[A-Z][A-Z0-9_]+", target.id):
                yield target.id, ast.unparse(node.value)


@pytest.mark.parametrize(("folder", "ending"), [("webapp", "*.py"), ("static", "*.js")])
def test_constants_of_one_name_are_one_thing(folder: str, ending: str) -> None:
    seen: dict[str, set[str]] = {}
    for path in sorted((ROOT / folder).rglob(ending)):
        for name, value in _constants(path):
            seen.setdefault(name, set()).add(value)
    assert {name: values for name, values in seen.items() if len(values) > 1} == {}
