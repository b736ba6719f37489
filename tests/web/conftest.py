"""A fresh app with its own database for each test, and the words tests speak in: `kitchen.plans()`, `.picks()`."""

from __future__ import annotations

import itertools
import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests import quick_apps, samples
from tests.databases import new_database
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.plan import Plan
from webapp.kitchens.access import hash_of
from webapp.machine.settings import Settings
from webapp.planning.question import NOTHING_BOOKED, Booked, Stock
from webapp.store.store import Store
from webapp.web.app import create_app

NOW = samples.at(6, 50)
SAME = {"Sec-Fetch-Site": "same-origin"}


def pytest_configure() -> None:
    """Before any app is made."""
    quick_apps.made_quickly()


class Clock:
    """A clock that a test sets."""

    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> int:
        return self.now


def sample_planner(
    wish: Wish, kitchen: Kitchen, now: int, bake_id: str, shelf: Stock, busy: Booked = NOTHING_BOOKED
) -> tuple[Plan, ...]:
    """Three plans whatever is asked: for tests of what becomes of a plan, not of how it is found."""
    plan = replace(samples.sample_plan(bake_id), made_at=now)
    return tuple(replace(plan, title=f"{plan.title}{mark}") for mark in ("", ", second", ", third"))


@dataclass
class InKitchen:
    """One phone, and what a person does with it. Pages are asked for as a browser does, tokens included."""

    client: FlaskClient
    _token: str = ""

    def get(self, path: str, **more: Any) -> TestResponse:
        return self.client.get(path, **more)

    def token(self, path: str = "/") -> str:
        """The form token of a page."""
        found = re.search(r'name="csrf_token"[^>]*value="([^"]+)"', self.client.get(path).text)
        assert found, f"{path} shows no form"
        return found[1]

    def posts(self, path: str, data: dict[str, Any] | None = None, page: str = "", **more: Any) -> TestResponse:
        """Send a form found on `page`; without one, with the token of this browser's session, which is quicker."""
        if not page and not self._token:
            self._token = self.token("/join")  # a page that is soon made
        token = self.token(page) if page else self._token
        return self.client.post(path, data={"csrf_token": token} | (data or {}), headers=SAME, **more)

    def answers(self, changes: dict[str, str] | None = None, **more: str) -> dict[str, str]:
        """The five answers, some of them changed."""
        usual = {"supper": "2026-11-25T19:30", "pan-oven-tray": "1", "formula_key": "bench-tray", "hours": "usual"}
        return usual | (changes or {}) | more

    def plans(self, changes: dict[str, str] | None = None) -> str:
        """Answer the questions; the id of the bake."""
        response = self.posts("/plan", self.answers(changes))
        assert response.status_code == 303, response.text
        return response.headers["Location"].rsplit("/", 1)[1]

    def picks(self, bake_id: str, place: int = 0) -> TestResponse:
        """Take one of the days that the page offers."""
        seen = re.findall(r'name="seen" value="([0-9a-f]+)"', self.get(f"/bakes/{bake_id}?offers").text)
        return self.posts(f"/bakes/{bake_id}/pick", {"place": str(place), "seen": seen[place]})

    def has_a_bake(self) -> str:
        """Plan and pick; the id of the bake."""
        bake_id = self.plans()
        assert self.picks(bake_id).status_code == 303
        return bake_id

    def sends(self, bake_id: str, *events: dict[str, Any], headers: dict[str, str] | None = None) -> TestResponse:
        return self.client.post(f"/api/bakes/{bake_id}/events", json={"events": list(events)}, headers=headers or SAME)

    @property
    def store(self) -> Store:
        """The store behind the pages."""
        store = self.client.application.extensions["suppertide"].store
        assert isinstance(store, Store)
        return store

    def kitchen_id(self) -> str:
        """The kitchen that this phone's key opens; the first thing saved makes one."""
        if self.client.get_cookie("suppertide") is None:
            self.posts("/settings/zone", {"zone": "Europe/London"})
        cookie = self.client.get_cookie("suppertide")
        assert cookie
        guest = self.store.guest(hash_of(cookie.value))
        assert guest
        return str(guest.kitchen_id)

    def lines(self, bake_id: str) -> list[dict[str, Any]]:
        """The journal as the server has it."""
        answer = self.client.get(f"/api/bakes/{bake_id}/events").json
        assert answer is not None
        lines: list[dict[str, Any]] = answer["events"]
        return lines


_numbers = itertools.count(1)


def event(bake_id: str, kind: str = "done", **data: object) -> dict[str, Any]:
    """An event as a phone writes it."""
    if kind == "done" and not data:
        data = {"step_id": "mix"}
    at = samples.at(7, 30)
    return {"event_id": f"{next(_numbers):032x}", "bake_id": bake_id, "at": at, "logged_at": at, "phone": "p" * 16,
            "kind": kind, "data": data, "revision": 1}  # fmt: skip


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture(scope="session")
def empty_database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with its tables and nothing in it, made once: copying it is quicker than making it anew."""
    path = tmp_path_factory.mktemp("empty") / "empty.sqlite3"
    Store(path).close()  # whole in the one file
    return path


@pytest.fixture
def settings(tmp_path: Path, empty_database: Path) -> Settings:
    settings = Settings(data=tmp_path / "data")
    settings.data.mkdir()
    where = new_database(settings.data)
    if isinstance(where, str):
        return replace(settings, database_server=where)
    shutil.copy(empty_database, where)
    return settings


@pytest.fixture
def app(settings: Settings, clock: Clock, monkeypatch: pytest.MonkeyPatch) -> Iterator[Flask]:
    monkeypatch.setattr("webapp.kitchens.bakes.zone_here", lambda: "Europe/London")  # wherever the tests run
    app = create_app(settings, planner=sample_planner, now=clock)
    app.testing = True
    yield app
    app.extensions["suppertide"].store.close()


@pytest.fixture
def phone(app: Flask) -> Callable[[], InKitchen]:
    """Makes phones: each is a browser of its own."""

    def new() -> InKitchen:
        return InKitchen(app.test_client())

    return new


@pytest.fixture
def kitchen(phone: Callable[[], InKitchen]) -> InKitchen:
    """A phone in whose kitchen something was saved once."""
    new = phone()
    new.kitchen_id()
    return new
