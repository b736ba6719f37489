"""What README and DEVELOPERS promise is there: every setting, key file and command, every folder and path."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from webapp.__main__ import main
from webapp.machine.settings import TABLE

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
