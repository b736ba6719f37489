"""What somebody changes in a calendar between our writings is noticed, and nothing is written for that."""

from __future__ import annotations

import pytest

from tests.databases import settings_in
from tests.home import Home
from tests.reminders.caldav.connected import connect, state
from tests.reminders.caldav.odd_server import OddServer, Tag, none, restless, strong, weak
from tests.samples import at
from webapp.core.plan.plan import Plan
from webapp.reminders.caldav import account
from webapp.reminders.caldav import publish as caldav
from webapp.reminders.caldav.client import CalendarServer
from webapp.reminders.caldav.look import look, look_safely
from webapp.server.background import Background

STARTS, LATER = "DTSTART:20261125T164500Z", "DTSTART:20261125T174500Z"  # press, as tests/samples.py has it


@pytest.fixture
def plan(home: Home, tools: account.Tools, odd: OddServer) -> Plan:
    """Written into the calendar, and nothing asked of the server since."""
    connect(home, tools, odd.url)
    plan = home.plan()
    assert caldav.publish(home.store, tools, home.now, home.kitchen_id)
    odd.asked.clear()
    return plan


def asked(home: Home, plan: Plan) -> list[tuple[str, int, int]]:
    """(title, ours, theirs) of every start that the bake's page asks about."""
    found = account.moved_there(home.store, home.kitchen_id, plan.bake_id, home.now)
    return [(one.title, one.ours, one.theirs) for one in found]


@pytest.mark.parametrize("tag", [strong, weak, none, restless])
@pytest.mark.parametrize("says_when_changed", [True, False])
def test_a_start_that_was_changed_is_asked_about_and_nothing_is_written(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, tag: Tag, says_when_changed: bool
) -> None:
    odd.tag, odd.says_when_changed = tag, says_when_changed
    odd.rewrite("press", STARTS, LATER)
    before = dict(odd.held)
    look(home.store, tools, home.now, home.kitchen_id)
    (one,) = asked(home, plan)
    assert one[1:] == (at(16, 45), at(17, 45))
    assert {verb for verb, _, _ in odd.asked} == {"PROPFIND", "GET"}
    assert odd.held == before


def test_a_calendar_that_says_it_is_unchanged_is_asked_no_more_than_that(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    odd.says_when_changed = True
    look(home.store, tools, home.now, home.kitchen_id)
    odd.asked.clear()
    look(home.store, tools, home.now, home.kitchen_id)
    assert [(verb, depth) for verb, _, depth in odd.asked] == [("PROPFIND", "0")]


def test_put_back_where_it_was_there_is_nothing_to_ask_any_more(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    odd.rewrite("press", STARTS, LATER)
    look(home.store, tools, home.now, home.kitchen_id)
    assert asked(home, plan)
    odd.rewrite("press", LATER, STARTS)
    look(home.store, tools, home.now, home.kitchen_id)
    assert asked(home, plan) == []


def test_an_answer_holds_until_it_is_moved_again(home: Home, tools: account.Tools, odd: OddServer, plan: Plan) -> None:
    odd.rewrite("press", STARTS, LATER)
    look(home.store, tools, home.now, home.kitchen_id)
    uid = f"{plan.bake_id}-press@suppertide"
    caldav.keep_theirs(home.store, home.kitchen_id, uid)
    look(home.store, tools, home.now, home.kitchen_id)
    assert asked(home, plan) == []
    odd.rewrite("press", LATER, "DTSTART:20261125T180000Z")
    look(home.store, tools, home.now, home.kitchen_id)
    assert [theirs for _, _, theirs in asked(home, plan)] == [at(18)]
    caldav.write_ours_again(home.store, tools, home.now, home.kitchen_id, uid)
    assert int(odd.events()["press"].dtstart.value.timestamp()) == at(16, 45)
    look(home.store, tools, home.now, home.kitchen_id)
    assert asked(home, plan) == []


def test_a_title_a_place_and_a_snooze_are_nothing_to_ask_about(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    odd.rewrite("press", "SUMMARY:Press", "LOCATION:Balcony\r\nSUMMARY:Ada: press")
    look(home.store, tools, home.now, home.kitchen_id)
    assert asked(home, plan) == []
    assert state(home).left_alone == ()


def test_an_event_taken_out_is_said(home: Home, tools: account.Tools, odd: OddServer, plan: Plan) -> None:
    del odd.held[odd.path_of("press")]
    look(home.store, tools, home.now, home.kitchen_id)
    assert [(one.why, one.uid) for one in state(home).left_alone] == [("removed", f"{plan.bake_id}-press@suppertide")]


def test_an_event_that_nobody_can_read_any_more_is_left_alone(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    odd.write(odd.path_of("press"), b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n")
    look(home.store, tools, home.now, home.kitchen_id)
    assert [one.why for one in state(home).left_alone] == ["taken"]


def test_a_plan_that_changes_during_a_look_is_not_mistaken_for_somebody_elses_change(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between reading our own times and looking there, the plan moves and is written by the other round."""
    get = CalendarServer.get

    def get_after_all_that(server: CalendarServer, url: str) -> tuple[str, bytes] | None:
        monkeypatch.undo()
        home.moved(plan, 1800)
        assert caldav.publish(home.store, tools, home.now, home.kitchen_id)
        return get(server, url)

    monkeypatch.setattr(CalendarServer, "get", get_after_all_that)
    look(home.store, tools, home.now, home.kitchen_id)
    assert int(odd.events()["press"].dtstart.value.timestamp()) == at(17, 15), "it was moved meanwhile"
    assert asked(home, plan) == []


def test_a_refused_password_is_said_at_once_and_taken_back_when_it_is_accepted_again(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    odd.status = 401
    look(home.store, tools, home.now, home.kitchen_id)
    assert state(home).refused
    assert home.store.accounts_to_look_at(home.now + 299) == (), "who knocks too often is shut out"
    assert home.store.accounts_to_look_at(home.now + 300) == (home.kitchen_id,)
    odd.status = 0
    look(home.store, tools, home.now + 300, home.kitchen_id)
    assert (state(home).refused, state(home).problem) == (False, "")


def test_a_server_that_is_out_of_order_for_a_look_is_nothing_to_say(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    odd.status = 503
    look_safely(home.store, tools, home.now, home.kitchen_id)
    assert state(home).problem == ""
    assert home.store.accounts_to_look_at(home.now + 599) == ()


def test_nothing_is_looked_at_when_nothing_of_ours_is_to_come(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    assert home.store.accounts_to_look_at(home.now) == (home.kitchen_id,)
    assert home.store.accounts_to_look_at(plan.supper + 86400) == ()


def test_the_background_notices_it_without_any_writing_of_ours(home: Home, odd: OddServer, plan: Plan) -> None:
    odd.rewrite("press", STARTS, LATER)
    background = Background(settings_in(home.folder, local_calendars=True), now=lambda: home.now)
    until = 20
    while not asked(home, plan) and until:
        background.looks()
        until -= 1
    assert asked(home, plan)
