"""A household, what it speaks to calendars with, and a calendar server of ours that can be odd."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.home import Home
from tests.reminders.caldav.connected import connect, publish_all
from tests.reminders.caldav.odd_server import OddServer
from webapp.core.plan.plan import Plan
from webapp.machine.net_guard import Guard
from webapp.reminders.caldav import account


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path)


@pytest.fixture
def tools(home: Home) -> account.Tools:
    return account.Tools(home.box, Guard(local=True))


@pytest.fixture
def odd() -> Iterator[OddServer]:
    server = OddServer()
    yield server
    server.stop()


@pytest.fixture
def plan(home: Home, tools: account.Tools, odd: OddServer) -> Plan:
    """A picked bake, written into the calendar."""
    connect(home, tools, odd.url)
    plan = home.plan()
    publish_all(home.store, tools, home.now)
    return plan
