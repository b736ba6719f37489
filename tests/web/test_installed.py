"""The app as an installed wheel has it: pages and their files beside the code, in folders of another name."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.web.conftest import InKitchen
from webapp.machine import folders
from webapp.machine.settings import Settings
from webapp.web.app import create_app


def test_every_file_that_a_page_asks_for_is_found_in_an_installed_wheel(
    settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    beside = tmp_path / "webapp"
    beside.mkdir()
    for name in ("templates", "static"):
        (beside / f"_{name}").symlink_to(folders._folder(name), target_is_directory=True)
    monkeypatch.setattr(folders, "_PACKAGE", beside)
    kitchen = InKitchen(create_app(settings).test_client())
    for page in ("/", "/kitchen", "/settings"):
        asked = set(re.findall(r'(?:href|src)="(/(?:static|shell)/[^"]+)"', kitchen.get(page).text))
        assert asked, page
        for path in asked:
            answer = kitchen.get(path)
            assert answer.status_code == 200, f"{page} asks for {path}"
            answer.close()
