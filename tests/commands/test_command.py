"""The `suppertide` command itself: help without the web, settings that are wrong, what the server is told."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import get_args

import pytest
from click.testing import CliRunner

from webapp.__main__ import main
from webapp.core.kinds import LOOKS, PAN_SHAPES, POKES, RESTING_PLACES, VERDICTS, OutsideKind
from webapp.machine.settings import Settings
from webapp.server import serve as server


def test_help_names_every_command() -> None:
    said = CliRunner().invoke(main, ["--help"]).output
    for command in ("serve", "demo", "scale", "rise", "yeast", "water", "api"):
        assert f"\n  {command}" in said


def test_the_description_of_the_json_api_is_printed_and_makes_no_database(tmp_path: Path) -> None:
    run = CliRunner().invoke(main, ["api"], env={"SUPPERTIDE_DATA": str(tmp_path / "data")})
    assert run.exit_code == 0, run.output
    assert "/api/bakes/{bake_id}/events" in json.loads(run.stdout)["paths"]
    assert list(tmp_path.iterdir()) == []


def test_help_needs_no_web() -> None:
    code = "import sys; sys.modules['flask'] = None; from webapp.__main__ import main; main(['--help'])"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr


@pytest.mark.parametrize("command", ["serve", "demo"])
def test_a_wrong_setting_is_named_and_nothing_starts(command: str, tmp_path: Path) -> None:
    run = CliRunner().invoke(main, [command, "--data", str(tmp_path)], env={"SUPPERTIDE_THREADS": "many"})
    assert run.exit_code == 1
    assert "SUPPERTIDE_THREADS" in run.output
    assert "1 to 64" in run.output


@pytest.mark.parametrize(("options", "proxies"), [([], 0), (["--behind-proxy"], 1)])
def test_a_proxy_in_front_is_believed_only_when_said(
    options: list[str], proxies: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    started: list[Settings] = []
    monkeypatch.setattr(server, "serve", lambda settings, _wanted: started.append(settings))
    run = CliRunner().invoke(main, ["serve", "--data", str(tmp_path), *options])
    assert run.exit_code == 0, run.output
    assert [one.proxies for one in started] == [proxies]


def test_a_port_is_a_number_that_exists() -> None:
    run = CliRunner().invoke(main, ["serve", "--port", "99999"])
    assert run.exit_code == 2
    assert "--port" in run.output


@pytest.mark.parametrize(
    ("command", "sets"),
    [
        ("learn", (LOOKS, POKES, VERDICTS)),
        ("follow", (LOOKS, POKES, RESTING_PLACES, get_args(OutsideKind))),
    ],
)
def test_help_lists_the_whole_of_every_closed_set(command: str, sets: tuple[tuple[str, ...], ...]) -> None:
    said = CliRunner().invoke(main, [command, "--help"]).stdout
    assert all(" | ".join(kinds) in said for kinds in sets)
    assert not re.search(r"\{(looks|pokes|verdicts|places|outside)\}", said)


def test_a_pan_that_is_none_is_answered_with_one_of_every_shape_and_each_of_them_is_taken() -> None:
    said = CliRunner().invoke(main, ["scale", "--pan", "square:3"]).output
    shown = re.findall(r"[a-z]+:[\dx]+", said.partition("Write")[2])
    assert tuple(one.partition(":")[0] for one in shown) == PAN_SHAPES
    for one in shown:
        assert CliRunner().invoke(main, ["scale", "--pan", one]).exit_code == 0
