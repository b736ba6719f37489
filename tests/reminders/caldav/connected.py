"""A household whose steps are written into a calendar, and how that stands."""

from __future__ import annotations

from tests.home import Home
from tests.reminders.caldav.odd_server import OddServer
from webapp.core.plan.plan import Plan
from webapp.reminders.caldav import account, publish
from webapp.reminders.wire import Login
from webapp.store.store import Store


def connect(home: Home, tools: account.Tools, url: str, kitchen_id: str = "") -> None:
    login = Login("u", "p")
    account.connect(
        home.store, tools, home.now, kitchen_id or home.kitchen_id, login, url, "Kitchen", "https://h.example"
    )


def state(home: Home) -> account.AccountState:
    found = account.account_state(home.store, home.kitchen_id)
    assert found is not None
    return found


def publish_all(store: Store, tools: account.Tools, now: int) -> None:
    """A round over every calendar that is behind, one after the other."""
    for kitchen_id in publish.behind(store, now):
        publish.publish_safely(store, tools, now, kitchen_id)


def starts(odd: OddServer) -> list[int]:
    return sorted(int(e.dtstart.value.timestamp()) for e in odd.events().values())


def stand_once_then_go(home: Home, tools: account.Tools, odd: OddServer, plan: Plan) -> None:
    """Each step stands there once, at its time, with nothing to be answered; given up, none does."""
    assert (len(odd.held), state(home).left_alone) == (len(plan.steps), ())
    assert starts(odd) == sorted(s.start for s in plan.steps)
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert odd.held == {}


def take_out_tests(store: Store, tools: account.Tools, now: int) -> None:
    """A round over every calendar in which a test ring has rung."""
    for kitchen_id in publish.with_tests_over(store, now):
        publish.take_out_tests_safely(store, tools, now, kitchen_id)
