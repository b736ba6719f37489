"""What README and DEVELOPERS promise is there: every setting, key file and command, every folder and path."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from webapp.__main__ import main
from webapp.machine.settings import TABLE

LIMIT = re.compile(r"_?(?:(?:MOST|LEAST)(?:_[A-Z0-9_]+)?|[A-Z][A-Z0-9_]*_(?:S|MS|C))")
NUMBER = re.compile(r"-?\d[\w.]*(?: [*+/-] [\w.]+)*;(?: //.*)?")
# What nobody changes: how long an hour is, mathematics, a curve's order, and what stands for never and not at all.
UNITS = {"YEAR_S", "DAY_S", "_DAY_S", "_HALF_HOUR_S", "HOUR_S", "MINUTE_S", "DAY_MIN", "_DAY_MIN", "LONGEST_DAY_MIN"}
MEASURES = {"G_PER_OZ", "CM_PER_IN", "CM_PER_INCH", "Z_80", "_Z", "LN_2", "TWO_OVER_PI", "_P256_ORDER"}
NEVERS = {"NEVER", "IMPOSSIBLE", "MUCH", "LATEST_AT", "UNTIL_MENDED", "_FOR_EVER", "_END_OF_TIME"}
UNCHANGED = UNITS | MEASURES | NEVERS
OF_MODELS = ("core/rise/", "core/oven/", "core/learning/", "core/scale/")
ALONE = ("`up`", "`wsgi`")  # at the top, imported by nobody
ROOT = Path(__file__).resolve().parent.parent
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", [name for name, _, _ in TABLE])
def test_every_setting_is_in_the_readme_with_its_default(name: str) -> None:
    row = re.search(rf"^\| `SUPPERTIDE_{name.upper()}` \| ([^|]*) \|", README, re.MULTILINE)
    assert row, name
    default = next(default for one, default, _ in TABLE if one == name)
    assert not default or row[1].strip() == default


def test_the_readme_names_no_setting_that_there_is_not() -> None:
    known = {f"SUPPERTIDE_{name.upper()}" for name, _, _ in TABLE}
    assert set(re.findall(r"SUPPERTIDE_[A-Z_]+", README)) == known


def test_every_key_file_is_named_for_backups() -> None:
    code = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "webapp").rglob("*.py"))
    keys = set(re.findall(r'"([a-z]+\.key)"', code))
    assert keys == {"secretbox.key", "push.key", "session.key"}
    assert all(f"`{key}`" in README for key in keys)


def test_every_command_and_option_of_the_readme_exists() -> None:
    commands = set(re.findall(r"bin/suppertide ([a-z]+)", README))
    assert commands
    assert commands <= set(main.commands)
    served = {option for parameter in main.commands["serve"].params for option in parameter.opts}
    told = set(re.findall(r"`(--[a-z-]+)", README)) - {"--json", "--thorough"}
    assert told >= {"--network", "--phone", "--port", "--data", "--behind-proxy", "--forget-authority"}
    assert told <= served


def _named() -> list[str]:
    """Every path in backticks that DEVELOPERS.md names: with a slash, or a file of code."""
    told = re.findall(r"`([\w./-]+)`", DEVELOPERS)
    return [one for one in told if "/" in one.strip("/.") or one.endswith(("/", ".py", ".md", ".toml"))]


def test_every_path_that_developers_are_told_exists() -> None:
    places = (ROOT, ROOT / "webapp", ROOT / "static" / "js")
    missing = [one for one in _named() if not any((place / one).exists() for place in places) and one != "NAME"]
    assert missing == []
    assert len(_named()) > 100


def test_every_folder_of_code_is_on_the_map() -> None:
    folders = [path.parent for path in (ROOT / "webapp").rglob("*.py")]
    folders += [path.parent for path in (ROOT / "static" / "js").rglob("*.js")]
    for folder in {one.relative_to(ROOT).as_posix() for one in folders} - {"webapp"}:
        short = folder.removeprefix("static/js/")
        assert f"`{folder}/`" in DEVELOPERS or f"`{short}/`" in DEVELOPERS, folder


def test_what_developers_are_told_of_imports_is_what_the_contracts_say() -> None:
    """The layers of pyproject.toml, read in order, are the chain of arrows."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    for contract in project["tool"]["importlinter"]["contracts"]:
        if contract["type"] == "layers":
            floors = [[f"`{one.strip()}`" for one in row.split("|")] for row in contract["layers"]]
            for one in (one for row in floors for one in row if one not in ALONE):
                assert one in DEVELOPERS or "web" in contract["name"], one
            if contract["containers"] == ["webapp"]:
                chain = " -> ".join(", ".join(one for one in row if one not in ALONE) for row in floors)
                assert chain in DEVELOPERS
            if contract["containers"] == ["webapp.core"]:
                assert " -> ".join(", ".join(row) for row in floors) in DEVELOPERS


def test_every_file_that_knows_a_calendar_or_a_clock_is_named_a_rim() -> None:
    """Everywhere else an instant is a whole number: decision 1 names the files that are not so, and no more of them."""
    decision = next(line for line in DEVELOPERS.splitlines() if line.startswith("1. **An instant"))
    told = set(re.findall(r"`([\w./-]+)`", decision))
    python = re.compile(r"^(?:from|import) (?:datetime|zoneinfo)\b", re.MULTILINE)
    script = re.compile(r"\bnew Date\b|\bDate\.|\bIntl\.")
    code = {path.relative_to(ROOT / "webapp").as_posix(): python for path in (ROOT / "webapp").rglob("*.py")}
    code |= {path.relative_to(ROOT).as_posix(): script for path in (ROOT / "static").rglob("*.js")}
    rims = {
        name
        for name, pattern in code.items()
        if pattern.search((ROOT / ("" if name.startswith("static/") else "webapp") / name).read_text(encoding="utf-8"))
    }
    assert told == rims


def _is_number(value: ast.expr) -> bool:
    """A number, or arithmetic with one."""
    if isinstance(value, ast.BinOp):
        sides = (value.left, value.right)
        return any(map(_is_number, sides)) and all(isinstance(one, ast.Name) or _is_number(one) for one in sides)
    if isinstance(value, ast.UnaryOp):
        return _is_number(value.operand)
    return isinstance(value, ast.Constant) and type(value.value) in (int, float)


def _limits(path: Path) -> Iterator[str]:
    """Names of the numbers on the ground floor of a module: what is a number, or is named like one."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".js":
        for name, value in re.findall(r"^(?:export )?const (_?[A-Z][A-Z0-9_]*) = (.*)", text, re.MULTILINE):
            if LIMIT.fullmatch(name) or NUMBER.fullmatch(value):
                yield name
        return
    for node in ast.parse(text).body:
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            names = [one.id for target in targets for one in ast.walk(target) if isinstance(one, ast.Name)]
            yield from (name for name in names if LIMIT.fullmatch(name) or _is_number(node.value))


def _twin_of(name: str) -> bool:
    """A script whose numbers stand in the Python module of the same place."""
    short = name.removeprefix("static/js/").removesuffix(".js")
    return name.endswith(".js") and any((ROOT / "webapp" / top / f"{short}.py").exists() for top in ("", "core"))


def _told_numbers() -> set[tuple[str, str]]:
    """What the chapter on numbers names: each constant after its file."""
    file, told = "", set()
    for one in re.findall(
        r"`([^`]+)`", DEVELOPERS.partition("| file, constant, what it does |")[2].partition("\n## ")[0]
    ):
        if one.endswith((".py", ".js")):
            file = one
        else:
            told.add((file, one))
    return told


def test_every_limit_rest_and_age_is_in_the_chapter_on_numbers() -> None:
    """A new one takes three words there, behind its file; one that went away is taken out."""
    files = {path.relative_to(ROOT / "webapp").as_posix(): path for path in (ROOT / "webapp").rglob("*.py")}
    files |= {path.relative_to(ROOT).as_posix(): path for path in (ROOT / "static").rglob("*.js")}
    there = {
        (name, limit)
        for name, path in files.items()
        if not name.startswith(OF_MODELS) and not _twin_of(name)
        for limit in _limits(path)
        if limit not in UNCHANGED
    }
    told = _told_numbers()
    assert len(told) > 200
    assert sorted(there - told) == [], 'DEVELOPERS.md, chapter "Numbers": name these behind their files'
    assert sorted(told - there) == [], 'DEVELOPERS.md, chapter "Numbers": these are gone'


def _asvs() -> list[list[str]]:
    """Item, what it asks, what is said of it: the rows of the table."""
    told = DEVELOPERS[DEVELOPERS.index("## OWASP ASVS") :].split("\n## ", 2)[0]
    rows = [line.strip("| ").split(" | ") for line in told.splitlines() if line.startswith("| ")]
    return [row for row in rows if row[0][0].isdigit()]


def test_each_item_of_the_security_table_names_a_test_or_says_why_there_is_none() -> None:
    assert len(_asvs()) > 45
    for row in _asvs():
        assert len(row) == 3, row
        reasons = ("does not apply", "not met", "not shown", "the same test", "ruff", "decision", "the table of limits")
        assert "::test_" in row[2] or any(reason in row[2] for reason in reasons), row[0]


def test_each_test_that_the_security_table_names_is_there() -> None:
    named = {one for row in _asvs() for one in re.findall(r"`([\w/.]+)::(\w+)`", row[2])}
    assert len(named) > 30
    for file, name in named:
        assert re.search(rf"^def {name}\(", (ROOT / file).read_text(encoding="utf-8"), re.MULTILINE), f"{file}::{name}"
