"""Who may import whom is kept by contracts (`lint-imports`). Here each package of a copy breaks them, and is caught.

One file, `planted.py`, goes into every package that is found on the disk, with every import that is not that package's
own: rooms above it, libraries of others, libraries of nobody, the tests, all of the standard library that its room does
not use. A package that no contract covers is one whose plants nobody reports.
"""

from __future__ import annotations

import ast
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = sorted(".".join(path.parent.relative_to(ROOT).parts) for path in (ROOT / "webapp").rglob("__init__.py"))[
    1:
]  # without webapp itself
NAMES = {
    ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"): path
    for path in (ROOT / "webapp").rglob("*.py")
}
FAMILIES = [name for name in PACKAGES if re.fullmatch(r"webapp\.web\.\w+", name)]
NOW_KNOWS = {"webapp.core.plan", "webapp.core.kinds"}
_FLASK = ("webapp.web",)
_OTHER_SERVERS = ("webapp.reminders.caldav", "webapp.reminders.push", "webapp.reminders.wire")
# Each library and who may know it: a package with all inside, or one module.
OWNERS: dict[str, tuple[str, ...]] = {
    "alembic": ("webapp.store",),
    "apispec": ("webapp.web.phone.described",),
    "brotli": ("webapp.web.files",),
    "click": ("webapp.commands", "webapp.__main__"),
    "cryptography": ("webapp.machine", "webapp.reminders.push", "webapp.server"),
    "dateutil": ("webapp.kitchens.busy.series",),
    "defusedxml": ("webapp.reminders.caldav",),
    "dns": ("webapp.reminders.caldav",),
    "flask": _FLASK,
    "flask_limiter": _FLASK,
    "flask_wtf": _FLASK,
    "h11": ("webapp.server",),
    "h2": ("webapp.server",),
    "httpx": _OTHER_SERVERS,
    "hypercorn": ("webapp.server",),
    "icalendar": ("webapp.kitchens.busy.reader", "webapp.reminders.caldav"),
    "idna": ("webapp.machine",),
    "jinja2": ("webapp.web.files",),
    "limits": _FLASK,
    "markupsafe": _FLASK,
    "marshmallow": _FLASK,
    "platformdirs": ("webapp.machine",),
    "prometheus_client": ("webapp.server",),
    "psycopg": ("webapp.store.engines.postgresql",),
    "publicsuffixlist": ("webapp.machine",),
    "py_vapid": ("webapp.reminders.push",),
    "pywebpush": ("webapp.reminders.push",),
    "recurring_ical_events": ("webapp.kitchens.busy.reader",),
    "segno": ("webapp.server", "webapp.pictures.qr"),
    "sqlalchemy": ("webapp.store",),
    "sqlite3": ("webapp.store",),
    "ssl": ("webapp.server", "webapp.reminders.caldav", "webapp.reminders.wire"),
    "urllib.parse": (
        "webapp.machine.net_guard",
        "webapp.reminders",
        "webapp.server.front",
        "webapp.web.origin",
        "webapp.web.phone.hand_over",
    ),
    "werkzeug": _FLASK,
    "wtforms": _FLASK,
}
# What is installed, or was proposed once, and is nobody's: addresses are taken apart by urllib and never fetched.
NOBODYS = {"hypothesis", "numpy", "pydantic", "pytest", "requests", "scipy", "tests.samples", "urllib.request"}
NO_PAGES = "webapp.web.files"  # below all pages: what they are sent with
EVERYBODYS = {"__future__", "collections", "dataclasses", "typing"}
CALENDAR = {"datetime", "zoneinfo"}  # of core, two files know one, and no package does


def _imports(path: Path) -> set[str]:
    """Names of modules, ours with the part that is a module too (`from webapp.web import door`)."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            whole = {f"{node.module}.{alias.name}" for alias in node.names}
            found |= {name if name in NAMES else node.module for name in whole}
    return found


WITH_FLOORS = ("webapp", "webapp.core", "webapp.web")  # whose rooms have floors; all others have a row each
INNER = [name for name in PACKAGES if name.rpartition(".")[0] not in WITH_FLOORS]
IMPORTS = {name: _imports(path) for name, path in NAMES.items()}
USED = {name: {one.split(".")[0] for one in found} for name, found in IMPORTS.items()}


def _inside(name: str, package: str) -> bool:
    return name == package or name.startswith(f"{package}.")


def _above(package: str) -> set[str]:
    """Packages that import this one, so that it must not import them: the same parent, so that neither holds the other.

    Of each, one module is named: the first by the alphabet.
    """
    parent = package.rpartition(".")[0]
    siblings = [one for one in PACKAGES if one.rpartition(".")[0] == parent and one != package]
    knows = {
        one
        for one in siblings
        for name in NAMES
        if _inside(name, one)
        if any(_inside(i, package) for i in IMPORTS[name])
    }
    return {min(name for name in NAMES if _inside(name, one) and name not in PACKAGES) for one in knows}


def _standard(package: str) -> set[str]:
    """What of the standard library no module of its room imports, by what is really there."""
    room = ".".join(package.split(".")[:2])
    used = {one for name, found in USED.items() if _inside(name, room) for one in found}
    return sys.stdlib_module_names - EVERYBODYS - (used - CALENDAR if room == "webapp.core" else used)


def _beside(package: str) -> set[str]:
    """Modules beside a room within a room, by themselves or the first of a package, that nothing in it imports."""
    parent = package.rpartition(".")[0]
    beside: dict[str, str] = {}
    for name in sorted(NAMES):
        if _inside(name, parent) and name not in PACKAGES and not _inside(name, package):
            beside.setdefault(name.removeprefix(f"{parent}.").partition(".")[0], name)
    used = {one for name, found in IMPORTS.items() if _inside(name, package) for one in found}
    return {name for one, name in beside.items() if not any(_inside(i, f"{parent}.{one}") for i in used)}


def _not_its_own(package: str) -> set[str]:
    """What the planted file imports."""
    libraries = {name for name, owners in OWNERS.items() if not any(_inside(package, owner) for owner in owners)}
    more = {"webapp.__main__"} | NOBODYS | _standard(package) | _above(package)
    if re.fullmatch(r"webapp\.web\.\w+", package):  # a page does not import a page
        more |= {
            f"{other}.planted"
            for other in PACKAGES
            if re.fullmatch(r"webapp\.web\.\w+", other) and other not in (package, NO_PAGES)
        }
    if package in INNER:
        more |= _beside(package)
    if package == "webapp.core.now":
        more |= {name for name in NAMES if re.fullmatch(r"webapp\.core\.\w+", name)} - {package, *NOW_KNOWS}
    return libraries | more


def _lint(folder: Path) -> str:
    """What `lint-imports` says of the code in that folder; chains on one line each."""
    tool = Path(sys.executable).parent / "lint-imports"
    run = subprocess.run(
        [str(tool), "--no-cache"], cwd=folder, capture_output=True, text=True, check=False,
        env={**os.environ, "COLUMNS": "400"},
    )  # fmt: skip
    assert not run.stderr, run.stderr
    return run.stdout


def _copy(folder: Path) -> Path:
    shutil.copytree(ROOT / "webapp", folder / "webapp", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", folder)
    (folder / "tests").mkdir()
    for name in ("__init__.py", "outside.py"):
        shutil.copy(ROOT / "tests" / name, folder / "tests")
    return folder


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> set[str]:
    """All imports that the contracts complain of, with everything planted at once."""
    folder = _copy(tmp_path_factory.mktemp("planted"))
    for package in PACKAGES:
        lines = "".join(f"import {name}\n" for name in sorted(_not_its_own(package)))
        (folder / package.replace(".", "/") / "planted.py").write_text(lines, encoding="utf-8")
    return set(re.findall(r"(\S+ -> \S+) \(", _lint(folder)))


@pytest.mark.parametrize("package", PACKAGES)
def test_an_import_that_is_not_a_package_s_own_breaks_a_contract(report: set[str], package: str) -> None:
    planted = {f"{package}.planted -> {name}" for name in _not_its_own(package)}
    assert planted - report == set()


# Lines that a file of the house was not given: (file, line, what it names).
NOT_GIVEN = (
    ("core/day/free_time.py", "from datetime import date", "datetime"),
    ("core/day/hours.py", "import zoneinfo", "zoneinfo"),
    ("server/front.py", "from urllib.request import urlopen", "urllib.request"),
    ("server/front.py", "import urllib.parse, urllib.request", "urllib.request"),
    ("server/front.py", "from urllib.parse import quote; import urllib.request", "urllib.request"),
    ("up.py", "from webapp.web import app", "webapp.web.app"),
    ("words/kinds/ways.py", "from webapp.words import cautions", "webapp.words.cautions"),
    ("__init__.py", "from webapp.web import app", "webapp.web.app"),
    ("core/__init__.py", "from webapp.core.planner import search", "webapp.core.planner.search"),
    ("web/__init__.py", "from webapp.web import app", "webapp.web.app"),
    ("machine/net_guard.py", "from urllib import request", "urllib"),
    ("machine/reach.py", "import socket, smtplib", "smtplib"),
    ("commands/scale.py", "def weigh():\n    import shutil", "shutil"),
    ("core/units.py", "import webapp", "webapp"),
    ("core/now/chain.py", "import webapp.core.kinds", "webapp"),
    ("core/plan/steps.py", "from webapp import core", "webapp.core"),
    ("planning/away.py", "import webapp.core.planner as whole", "webapp.core.planner"),
    ("words/lists.py", "from .. import web", ".."),
    ("reminders/lines.py", "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import httpx", "httpx"),
)


@pytest.fixture(scope="module")
def rounds(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """What is said of copies of the house with these lines planted, in each copy one line at most of each file."""
    said = []
    for number in range(max(map(_round_of, range(len(NOT_GIVEN)))) + 1):
        folder = _copy(tmp_path_factory.mktemp("given"))
        for at, (module, line, _) in enumerate(NOT_GIVEN):
            if _round_of(at) == number:
                path = folder / "webapp" / module
                path.write_text(f"{path.read_text(encoding='utf-8')}\n{line}\n", encoding="utf-8")
        said.append(_lint(folder))
    return said


def _round_of(at: int) -> int:
    """How many lines before this one go into the same file."""
    return [module for module, _, _ in NOT_GIVEN[:at]].count(NOT_GIVEN[at][0])


@pytest.mark.parametrize("at", range(len(NOT_GIVEN)), ids=lambda at: " ".join(NOT_GIVEN[at][:2]))
def test_a_file_that_is_there_gets_no_more_than_it_was_given(rounds: list[str], at: int) -> None:
    module, _, named = NOT_GIVEN[at]
    importer = ".".join(Path("webapp", module).with_suffix("").parts).removesuffix(".__init__")
    assert f"{importer} -> {named} (" in rounds[_round_of(at)]


def test_what_was_given_and_is_not_used_is_taken_back(tmp_path: Path) -> None:
    table = _copy(tmp_path) / "pyproject.toml"
    text = table.read_text(encoding="utf-8")
    table.write_text(
        text.replace(
            '"webapp.doughs: contextlib, functools, json"', '"webapp.doughs: contextlib, functools, json, shelve"'
        ),
        encoding="utf-8",
    )
    assert "given and not used by anything: webapp.doughs: shelve" in _lint(tmp_path)


def test_what_is_there_breaks_none() -> None:
    assert "0 broken" in _lint(ROOT)


def _lint_with(folder: Path, room: str, file: str, text: str) -> str:
    """What is said of a copy with this file, in a new folder, in each of its packages and beside them."""
    copy = _copy(folder)
    for package in ("webapp", *PACKAGES):
        new = copy / package.replace(".", "/") / room / file
        new.parent.mkdir()
        new.write_text(text, encoding="utf-8")
    return _lint(copy)


@pytest.fixture(scope="module")
def with_attics(tmp_path_factory: pytest.TempPathFactory) -> str:
    """What is said of a house that has a new package in each of its packages, and beside them."""
    return _lint_with(tmp_path_factory.mktemp("attics"), "attic", "__init__.py", '"""New."""\n')


@pytest.mark.parametrize("package", ["webapp", *PACKAGES])
def test_a_new_room_must_be_given_its_place(with_attics: str, package: str) -> None:
    without_floor = re.findall(r"^- (\S+)$", with_attics, re.MULTILINE)  # of a floor
    without_row = re.findall(r"(\S+) \(no row", with_attics)
    assert f"{package}.attic" in (without_floor if package in WITH_FLOORS else without_row)


@pytest.fixture(scope="module")
def with_unopened(tmp_path_factory: pytest.TempPathFactory) -> str:
    """What is said of a house that has a folder with Python and no `__init__.py` in each of its packages."""
    return _lint_with(tmp_path_factory.mktemp("unopened"), "cellar", "planted.py", "import flask\n")


@pytest.mark.parametrize("package", ["webapp", *PACKAGES])
def test_a_folder_that_nothing_opens_breaks_a_contract(with_unopened: str, package: str) -> None:
    assert f"{package}.cellar (no __init__.py" in with_unopened


def test_every_library_has_its_owners() -> None:
    used = {name.split(".")[0] for found in IMPORTS.values() for name in found} - {"webapp", "_typeshed"}
    assert used - sys.stdlib_module_names - set(OWNERS) == set()
