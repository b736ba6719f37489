"""The files of `webapp/deploy/`, taken apart: unit, container file, compose file, proxy file, page."""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

from webapp.__main__ import main
from webapp.machine.settings import TABLE

ROOT = Path(__file__).resolve().parents[3]
DEPLOY = ROOT / "webapp" / "deploy"
SETTINGS = {f"SUPPERTIDE_{name.upper()}" for name, _, _ in TABLE}


def text_of(name: str) -> str:
    return (DEPLOY / name).read_text(encoding="utf-8")


def unit() -> dict[str, list[str]]:
    """Each directive of the unit's [Service] with its values, in order (systemd.syntax(7): a name may come again)."""
    found: dict[str, list[str]] = {}
    section = ""
    for line in text_of("suppertide.service").splitlines():
        if line.startswith("["):
            section = line.strip("[]")
        elif section == "Service" and line and not line.startswith(("#", ";")):
            name, _, value = line.partition("=")
            found.setdefault(name, []).append(value)
    return found


def environment_of_the_unit() -> dict[str, str]:
    return dict(one.split("=", 1) for one in unit()["Environment"])


def instructions() -> list[tuple[str, str]]:
    """The container file's, as (name, the rest); a backslash at the end goes on in the next line."""
    joined = re.sub(r"\\\n\s*", "", text_of("Containerfile"))
    lines = [line for line in joined.splitlines() if line and not line.startswith("#")]
    return [(line.split(" ", 1)[0], line.split(" ", 1)[1].strip()) for line in lines]


def said_by(name: str) -> list[str]:
    """What the container file says with this instruction."""
    return [rest for one, rest in instructions() if one == name]


def environment_of_the_image() -> dict[str, str]:
    return dict(one.split("=", 1) for line in said_by("ENV") for one in shlex.split(line))


def command_of_the_image() -> list[str]:
    (line,) = said_by("CMD")
    words = json.loads(line)
    assert isinstance(words, list)
    return words


def health_of_the_image() -> list[str]:
    (line,) = said_by("HEALTHCHECK")
    return list(json.loads(line[line.index("[") :]))


def compose(name: str = "compose.yaml") -> dict[str, Any]:
    document = yaml.safe_load(text_of(name))
    assert isinstance(document, dict)
    return document


def laid_over(below: Any, above: Any) -> Any:
    """Two compose files as one, as its specification merges them ("Merge"): mappings by key, lists one behind the
    other, anything else is the upper one's."""
    if isinstance(below, dict) and isinstance(above, dict):
        return below | {key: laid_over(below[key], one) if key in below else one for key, one in above.items()}
    if isinstance(below, list) and isinstance(above, list):
        return below + [one for one in above if one not in below]
    return above


def compose_with_postgres() -> dict[str, Any]:
    merged = laid_over(compose(), compose("compose.postgres.yaml"))
    assert isinstance(merged, dict)
    return merged


def filled_in(text: str, given: Mapping[str, str]) -> str:
    """With its ${NAME:?why} and {$NAME:default} filled in, as compose and the proxy do."""
    text = re.sub(r"\$\{(\w+):\?[^}]*\}", lambda found: given[found[1]], text)
    return re.sub(r"\{\$(\w+):([^}]*)\}", lambda found: given.get(found[1], found[2]), text)


def asked_for(command: list[str]) -> dict[str, Any]:
    """What `suppertide serve ...` was asked for. Raises click's UsageError for an option that there is not."""
    name, served, *options = command
    assert Path(name).name == "suppertide"
    with main.commands[served].make_context(served, options) as context:
        return dict(context.params)


def blocks(heading: str) -> list[str]:
    """The commands of the page below this heading, a block each."""
    below = re.search(rf"^## {heading}\n(.*?)(?=^## |\Z)", text_of("README.md"), re.MULTILINE | re.DOTALL)
    assert below, heading
    return re.findall(r"^```\n(.*?)^```", below[1], re.MULTILINE | re.DOTALL)
