"""Every path, command, port and name in `webapp/deploy/` is one that the app has."""

from __future__ import annotations

import fnmatch
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.server.deploy.files import (
    DEPLOY,
    ROOT,
    SETTINGS,
    asked_for,
    blocks,
    command_of_the_image,
    compose,
    environment_of_the_image,
    environment_of_the_unit,
    filled_in,
    health_of_the_image,
    instructions,
    said_by,
    text_of,
    unit,
)
from tests.server.running import running
from webapp.__main__ import main
from webapp.machine.own_limits import MOST_MEMORY
from webapp.machine.settings import Settings
from webapp.server import background
from webapp.server.ending import GRACE_S

NAME = {"SUPPERTIDE_NAME": "bread.example"}


def seconds(text: str) -> float:
    return float(text.removesuffix("s"))


def tracked() -> set[str]:
    run = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True)
    return set(run.stdout.splitlines())


def test_the_unit_starts_the_program_that_the_page_puts_there() -> None:
    """`.venv` in /opt/suppertide is made by the page's first command, the program in it by pip from pyproject.toml."""
    (start,) = unit()["ExecStart"]
    program, *_ = start.split()
    assert program == "/opt/suppertide/.venv/bin/suppertide"
    assert "cd /opt/suppertide && /usr/bin/python3 -m venv .venv\n" in blocks("With systemd")[0]
    assert "suppertide" in tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["scripts"]
    wanted = asked_for(start.split())
    assert (wanted["port"], wanted["behind_proxy"], wanted["network"], wanted["phone"]) == (8080, True, False, False)


def test_the_settings_of_the_unit_are_settings_of_the_app() -> None:
    environ = environment_of_the_unit()
    assert {name for name in environ if name.startswith("SUPPERTIDE_")} <= SETTINGS
    settings = Settings.load(environ=environ)
    assert settings.access_log
    assert settings.public_url == "https://bread.example"
    (folder,) = unit()["StateDirectory"]
    assert environ["SUPPERTIDE_DATA"] == f"/var/lib/{folder}"  # systemd.exec(5): where StateDirectory= lies


def test_the_unit_waits_until_what_is_being_answered_is_answered() -> None:
    assert seconds(unit()["TimeoutStopSec"][0]) > GRACE_S
    assert seconds(compose()["services"]["suppertide"]["stop_grace_period"]) > GRACE_S
    assert unit()["KillSignal"] == ["SIGTERM"]
    assert said_by("STOPSIGNAL") == ["SIGTERM"]


def test_what_the_unit_and_the_container_leave_it_is_enough() -> None:
    """A reader of a calendar file may take MOST_MEMORY beside the server, and all its threads run at once."""
    threads = Settings.load(environ={}).threads + background._WRITERS + background._FETCHERS
    service = compose()["services"]["suppertide"]
    gigabyte = 1024**3
    for memory, tasks in (
        (unit()["MemoryMax"][0], unit()["TasksMax"][0]),
        (service["mem_limit"], service["pids_limit"]),
    ):
        assert memory.upper() == "2G"
        assert 2 * gigabyte > 2 * MOST_MEMORY
        assert int(tasks) > 2 * threads


# systemd.exec(5), "Sandboxing": each by itself shuts one door; `systemd-analyze security` weighs them.
SHUT = {
    "DynamicUser": "yes", "NoNewPrivileges": "yes", "CapabilityBoundingSet": "", "AmbientCapabilities": "",
    "ProtectSystem": "strict", "ProtectHome": "yes", "PrivateDevices": "yes", "PrivateTmp": "yes",
    "ProtectKernelTunables": "yes", "ProtectKernelModules": "yes", "ProtectControlGroups": "yes",
    "RestrictNamespaces": "yes", "MemoryDenyWriteExecute": "yes", "UMask": "0077", "StateDirectoryMode": "0700",
    "SystemCallArchitectures": "native",
}  # fmt: skip


@pytest.mark.parametrize("name", SHUT)
def test_the_unit_is_shut_in(name: str) -> None:
    assert unit()[name] == [SHUT[name]]


def test_the_image_is_made_of_what_the_build_needs_and_of_files_that_there_are() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    copied = {one for line in said_by("COPY") for one in line.split()[:-1]}
    files = tracked()
    assert all(one in files or any(name.startswith(f"{one}/") for name in files) for one in copied), copied
    wheel = project["tool"]["hatch"]["build"]["targets"]["wheel"]
    needed = {"pyproject.toml", project["project"]["readme"], *project["project"]["license-files"]}
    assert needed | set(wheel["packages"]) | set(wheel["force-include"]) <= copied
    installed = re.findall(r"--requirement (\S+)", " ".join(said_by("RUN")))
    assert installed == ["webapp/deploy/requirements.txt", "webapp/deploy/requirements-postgres.txt"]
    assert set(installed) <= copied


def test_the_image_begins_with_a_python_that_will_do() -> None:
    (begun,) = said_by("FROM")
    found = re.fullmatch(r"python:3\.(\d+)-slim", begun)
    assert found
    assert int(found[1]) >= 11
    requires = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["requires-python"]
    assert requires == ">=3.11"


def test_of_a_checkout_only_what_is_copied_reaches_the_builder() -> None:
    """A line with ! lets in again what the star of the first line shuts out: no .venv, no .git, no database."""
    lines = [line for line in text_of("Containerfile.dockerignore").splitlines() if not line.startswith("#")]
    assert lines[0] == "*"
    let_in = {line[1:] for line in lines if line.startswith("!")}
    assert let_in == {one.split("/")[0] for line in said_by("COPY") for one in line.split()[:-1]}
    assert not any(fnmatch.fnmatch(one, pattern) for one in (".git", ".venv", "data") for pattern in let_in)


def test_the_image_runs_as_nobody_in_particular_and_keeps_its_data_in_the_volume() -> None:
    assert said_by("USER") == ["suppertide"]
    order = [name for name, _ in instructions()]
    assert order.index("USER") < order.index("CMD")
    assert "RUN" not in order[order.index("USER") :]
    environ = environment_of_the_image()
    assert {name for name in environ if name.startswith("SUPPERTIDE_")} <= SETTINGS
    assert said_by("VOLUME") == [str(Settings.load(environ=environ).data)]
    assert f"--mode 0700 {environ['SUPPERTIDE_DATA']}" in " ".join(said_by("RUN"))


def test_one_port_from_the_image_to_the_proxy() -> None:
    wanted = asked_for(command_of_the_image())
    assert (wanted["network"], wanted["behind_proxy"]) == (True, True)
    port = str(wanted["port"])
    assert said_by("EXPOSE") == [port]
    assert f"http://127.0.0.1:{port}/" in health_of_the_image()[-1]
    services = compose()["services"]
    assert services["suppertide"]["expose"] == [port]
    assert services["proxy"]["environment"]["SUPPERTIDE_AT"] == f"suppertide:{port}"
    assert asked_for(unit()["ExecStart"][0].split())["port"] == wanted["port"]
    assert f"reverse_proxy 127.0.0.1:{port}\n" in filled_in(text_of("Caddyfile"), {})


def test_the_check_of_the_image_is_good_while_the_server_answers_and_bad_after_it(tmp_path: Path) -> None:
    program, switch, code = health_of_the_image()
    assert (program, switch) == ("python", "-c")
    with running(Settings(data=tmp_path)) as server:
        here = code.replace("127.0.0.1:8080", server.plain.removeprefix("http://"))
        assert here != code
        assert subprocess.run([sys.executable, "-c", here], check=False).returncode == 0
    assert subprocess.run([sys.executable, "-c", here], capture_output=True, check=False).returncode == 1


def test_the_compose_file_builds_that_image_and_names_what_it_uses() -> None:
    document = compose()
    app, proxy = document["services"]["suppertide"], document["services"]["proxy"]
    context = (DEPLOY / app["build"]["context"]).resolve()
    assert context == ROOT
    assert (context / app["build"]["dockerfile"]).samefile(DEPLOY / "Containerfile")
    assert set(app["environment"]) <= SETTINGS
    given = {name: filled_in(value, NAME) for name, value in app["environment"].items()}
    assert Settings.load(environ=given).public_url == "https://bread.example"
    mounts = [mount.split(":") for service in (app, proxy) for mount in service["volumes"]]
    assert {source for source, *_ in mounts if not source.startswith(".")} == set(document["volumes"])
    assert all((DEPLOY / source).is_file() for source, *_ in mounts if source.startswith("."))
    assert app["volumes"] == [f"data:{said_by('VOLUME')[0]}"]
    assert set(proxy["depends_on"]) <= set(document["services"])


def test_of_the_containers_the_proxy_alone_has_doors_and_the_app_no_privileges() -> None:
    app, proxy = compose()["services"]["suppertide"], compose()["services"]["proxy"]
    assert "ports" not in app
    assert proxy["ports"] == ["80:80", "443:443", "443:443/udp"]
    assert app["read_only"] is True
    assert app["tmpfs"] == ["/tmp"]  # where a long body lies until it is read
    assert app["cap_drop"] == ["ALL"]
    assert app["security_opt"] == ["no-new-privileges:true"]


def test_the_proxy_is_given_what_its_file_asks_for() -> None:
    asked = set(re.findall(r"\{\$(\w+):", text_of("Caddyfile")))
    assert asked == set(compose()["services"]["proxy"]["environment"])
    filled = filled_in(text_of("Caddyfile"), NAME | {"SUPPERTIDE_AT": "suppertide:8080"})
    code = [line for line in filled.splitlines() if not line.startswith("#")]
    assert code == ["bread.example {", "\treverse_proxy suppertide:8080", "}"]


def test_the_page_names_files_settings_and_commands_that_there_are() -> None:
    page = text_of("README.md")
    paths = set(
        re.findall(r"\bwebapp/deploy/[\w.-]*\w", page + text_of("Containerfile") + text_of("suppertide.service"))
    )
    assert {"webapp/deploy/requirements.txt", "webapp/deploy/suppertide.service"} <= paths
    assert all((ROOT / path).exists() for path in paths), paths
    assert set(re.findall(r"SUPPERTIDE_\w+", page)) - {"SUPPERTIDE_NAME"} <= SETTINGS
    assert set(re.findall(r"^suppertide (\w+)", page, re.MULTILINE)) <= set(main.commands)
    units = re.findall(r"systemctl enable --now (\w+)|journalctl --unit (\w+)", page)
    assert {one or other for one, other in units} == {"suppertide"}
