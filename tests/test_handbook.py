"""What the README promises is there: every setting, every key file, every command."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from webapp.__main__ import main
from webapp.machine.settings import TABLE

ROOT = Path(__file__).resolve().parent.parent
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
    told = set(re.findall(r"`(--[a-z-]+)", README)) - {"--json"}
    assert told >= {"--network", "--phone", "--port", "--data", "--behind-proxy", "--forget-authority"}
    assert told <= served
