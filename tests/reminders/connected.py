"""A household whose steps are written into a calendar, and how that stands."""

from __future__ import annotations

from tests.home import Home
from webapp.reminders.caldav import account
from webapp.reminders.wire import Login


def connect(home: Home, tools: account.Tools, url: str, kitchen_id: str = "") -> None:
    login = Login("u", "p")
    account.connect(
        home.store, tools, home.now, kitchen_id or home.kitchen_id, login, url, "Kitchen", "https://h.example"
    )


def state(home: Home) -> account.AccountState:
    found = account.account_state(home.store, home.kitchen_id)
    assert found is not None
    return found
