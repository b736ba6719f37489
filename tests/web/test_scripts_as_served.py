"""Scripts as a browser gets them, joined and packed, can be read by it: one that cannot stops every page that has it.

Checked by the JavaScript engine that comes with Playwright (Node, by `--check`), as modules.
"""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import playwright
import pytest
from flask import Flask

from webapp.machine import folders
from webapp.machine.settings import Settings
from webapp.web.app import create_app
from webapp.web.files.compressed import script_url
from webapp.web.phone.shell import read_shell

NODE = next((Path(playwright.__file__).parent / "driver").glob("node*"))
ROOT = Path(__file__).parents[2]
_OF_A_PAGE = re.compile(r"\{% block scripts %\}([\w/ ]*)\{% endblock %\}")
PAGES = sorted(
    {found for page in (ROOT / "templates").rglob("*.html") for found in _OF_A_PAGE.findall(page.read_text("utf-8"))}
)
SHELL = read_shell(folders.static_folder(), folders.templates_folder())
KEPT = {one.path: one.body for one in SHELL.files if one.path.endswith(".js")}


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    """The app with an empty database."""
    return create_app(Settings(data=tmp_path_factory.mktemp("data")))


def complaint(script: bytes, folder: Path) -> str:
    """What the engine has to say against it; "" when nothing."""
    path = folder / "script.mjs"
    path.write_bytes(script)
    said = subprocess.run([NODE, "--check", path], capture_output=True, text=True, check=False)  # ours
    assert (said.returncode == 0) is (said.stderr == "")
    return said.stderr


@pytest.mark.parametrize("path", KEPT)
def test_what_a_phone_keeps_can_be_read(path: str, tmp_path: Path) -> None:
    assert complaint(KEPT[path], tmp_path) == ""


@pytest.mark.parametrize("names", PAGES)
def test_what_a_page_has_can_be_read(names: str, app: Flask, tmp_path: Path) -> None:
    with app.test_request_context():
        url = script_url(names)
    script = app.test_client().get(url)
    assert script.status_code == 200
    assert script.data
    assert complaint(script.data, tmp_path) == ""


def test_the_worker_can_be_read(app: Flask, tmp_path: Path) -> None:
    assert complaint(app.test_client().get("/sw.js").data, tmp_path) == ""


def test_there_are_such_scripts() -> None:
    assert {"js/kitchen-first.js", "js/kitchen-step.js", "js/kitchen-rest.js", "js/pages/guard.js"} <= KEPT.keys()
    assert len(PAGES) > 5


@pytest.mark.parametrize("broken", [b"const said = { !0: 1 };", b"import { a } from", b"const a = 1; const a = 2;"])
def test_one_that_cannot_be_read_is_told(broken: bytes, tmp_path: Path) -> None:
    assert "SyntaxError" in complaint(broken, tmp_path)
