"""A server's trouble is never taken for a person's wish, and what we did ourselves is never taken for theirs."""

from __future__ import annotations

import logging
import re
import threading
from pathlib import Path

import pytest
from sqlalchemy import update

from tests.databases import settings_in
from tests.home import Home, every_step_rings
from tests.reminders.caldav.connected import connect, publish_all, state
from tests.reminders.caldav.odd_server import OddServer
from tests.samples import at, sample_kitchen, sample_plan
from webapp.core.plan.plan import Plan
from webapp.records import to_plain
from webapp.reminders.caldav import account, leaving
from webapp.reminders.caldav import publish as caldav
from webapp.reminders.caldav.look import look, look_safely
from webapp.reminders.push import sending
from webapp.server.background import Background
from webapp.store.push import SubscriptionRow
from webapp.store.schema.tables import plans


def press_starts(odd: OddServer) -> int:
    return int(odd.events()["press"].dtstart.value.timestamp())


def well_again(home: Home, tools: account.Tools) -> None:
    """Rounds for an hour and a bit, with nobody doing anything."""
    for _ in range(8):
        home.now += 600
        publish_all(home.store, tools, home.now)
        look_safely(home.store, tools, home.now, home.kitchen_id)


PAGE = (200, {"Content-Type": "text/html; charset=utf-8"}, b"<html><body>Please sign in</body></html>")
BARE_PAGE = (200, {}, PAGE[2])  # and says not even that it is one
HALF = (200, {"Content-Type": "text/calendar"}, b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nUID:x")


@pytest.mark.parametrize("answer", [(404, {}, b""), PAGE, BARE_PAGE, HALF, (410, {}, b"")])
@pytest.mark.parametrize("looked", [True, False])
def test_a_round_of_answers_that_are_no_calendar_takes_nothing_out_for_ever(
    home: Home,
    tools: account.Tools,
    odd: OddServer,
    plan: Plan,
    answer: tuple[int, dict[str, str], bytes],
    looked: bool,
) -> None:
    """A calendar that was renamed away, or a page that wants somebody to sign in, for one round while supper moves."""
    answers = odd.answers
    odd.answers = lambda *_: answer  # type: ignore[method-assign]
    if looked:
        look_safely(home.store, tools, home.now, home.kitchen_id)
    home.moved(plan, 7200)
    publish_all(home.store, tools, home.now)
    assert state(home).problem
    assert state(home).left_alone == ()
    odd.answers = answers  # type: ignore[method-assign]
    well_again(home, tools)
    assert (state(home).problem, state(home).left_alone) == ("", ())
    assert press_starts(odd) == at(18, 45)
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert odd.held == {}


def test_a_page_in_place_of_an_answer_to_writing_is_not_taken_for_written(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    connect(home, tools, odd.url)
    home.plan()
    answers = odd.answers
    odd.answers = lambda *_: PAGE  # type: ignore[method-assign]
    publish_all(home.store, tools, home.now)
    odd.answers = answers  # type: ignore[method-assign]
    well_again(home, tools)
    assert len(odd.events()) == len(sample_plan().steps)


def test_an_event_that_was_taken_out_stays_out_and_one_that_is_put_back_is_ours_again(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    path = odd.path_of("press")
    body = odd.held.pop(path)
    look(home.store, tools, home.now, home.kitchen_id)
    plan = home.moved(plan, 600)
    publish_all(home.store, tools, home.now)
    assert [one.why for one in state(home).left_alone] == ["removed"]
    assert path not in odd.held
    odd.write(path, body)  # undone on the phone
    look(home.store, tools, home.now, home.kitchen_id)
    publish_all(home.store, tools, home.now)
    assert state(home).left_alone == ()
    assert press_starts(odd) == at(16, 55)
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert odd.held == {}


def test_taken_out_and_put_back_between_two_looks_is_taken_out_with_a_bake_that_is_given_up(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    path = odd.path_of("press")
    body = odd.held.pop(path)
    look(home.store, tools, home.now, home.kitchen_id)
    odd.write(path, body)
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert odd.held == {}


@pytest.mark.parametrize("how", ["connected again", "picked again", "picked again by a program of its own"])
def test_an_event_that_a_person_named_rings_again_when_it_is_wanted_again(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, how: str
) -> None:
    odd.rewrite("press", "SUMMARY:Press", "SUMMARY:Ada: press")
    if "program" in how:
        odd.rewrite("press", "PRODID:-//Suppertide//", "PRODID:-//Another//")
    if how == "connected again":
        leaving.disconnect(home.store, tools, home.now, home.kitchen_id)
    else:
        home.drop(plan)
        publish_all(home.store, tools, home.now)
    assert odd.events()["press"].status.value == "CANCELLED"
    if how == "connected again":
        connect(home, tools, odd.url)
    home.moved(plan, 1800)
    publish_all(home.store, tools, home.now)
    there = odd.events()["press"]
    assert (there.status.value, press_starts(odd)) == ("CONFIRMED", at(17, 15))
    assert there.summary.value.startswith("Ada: press")
    assert len(there.contents["valarm"]) == 1
    assert b"SUPPERTIDE-OFF" not in odd.held[odd.path_of("press")]


@pytest.mark.parametrize("status", [403, 404, 405, 507])
def test_a_refusal_that_passes_is_tried_again_by_itself_and_not_hammered(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, status: int
) -> None:
    odd.status = status
    home.moved(plan, 1800)
    began = home.now
    waits = []
    while home.now < began + 4 * 3600:
        publish_all(home.store, tools, home.now)
        waits.append(state(home).next_try - home.now)
        home.now = state(home).next_try
    assert waits == sorted(waits)
    assert waits[-1] == 900
    assert len(waits) <= 26, "every five minutes for an hour, then four times an hour"
    odd.status = 0
    publish_all(home.store, tools, home.now)
    assert (state(home).problem, press_starts(odd)) == ("", at(17, 15))


def test_a_change_is_tried_at_once_after_a_refusal(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    odd.status = 403
    plan = home.moved(plan, 600)
    publish_all(home.store, tools, home.now)
    odd.status = 0
    home.moved(plan, 600)
    publish_all(home.store, tools, home.now)
    assert press_starts(odd) == at(17, 5)


def test_a_password_refused_for_a_while_is_tried_again_by_itself_more_and_more_seldom(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    odd.status = 401
    home.moved(plan, 1800)
    publish_all(home.store, tools, home.now)
    assert state(home).refused
    waits = []
    for _ in range(5):
        asked = len(odd.asked)
        waits.append(state(home).next_try - home.now)
        publish_all(home.store, tools, state(home).next_try - 1)
        assert len(odd.asked) == asked, "who knocks too often is shut out"
        home.now = state(home).next_try
        publish_all(home.store, tools, home.now)
    assert waits == [300, 900, 1800, 3600, 3600]
    odd.status = 0
    publish_all(home.store, tools, home.now + 3600)
    assert (state(home).refused, press_starts(odd)) == (False, at(17, 15))


class Taken:
    """Takes every message."""

    def __init__(self) -> None:
        self.to: list[str] = []

    def send(self, to: sending.message.Receiver, *_: object) -> sending.message.Outcome:
        self.to.append(to.endpoint)
        return sending.message.Outcome(sending.message.SENT)


def test_a_plan_that_cannot_be_read_leaves_its_household_its_other_bakes_and_the_others_ring(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    broken, other = "a" * 22, "o" * 22
    homes = []
    for kitchen_id in (broken, other):
        home = Home(tmp_path, kitchen_id="k" * 22)
        home.store.add_kitchen(kitchen_id, to_plain(every_step_rings(sample_kitchen())), home.now)
        home.store.add_phone(kitchen_id, f"phone-{kitchen_id[0]}", kitchen_id[0] * 64, "Phone", home.now)
        homes.append(Home(tmp_path, kitchen_id=kitchen_id))
        row = SubscriptionRow(
            kitchen_id, kitchen_id, f"phone-{kitchen_id[0]}", f"https://p.example/{kitchen_id}", "", ""
        )
        home.store.put_subscription(row, home.now)
    homes[0].plan(sample_plan("c" * 22))
    homes[0].plan(sample_plan("e" * 22))
    homes[1].plan(sample_plan("d" * 22))
    store = homes[0].store
    with store.transaction() as db:
        db.execute(update(plans).where(plans.c.bake_id == "c" * 22).values(plan='{"schema": 999}'))
    with caplog.at_level(logging.ERROR):
        for _ in range(3):
            sending.lay_out(store, homes[0].now)
    assert caplog.records == [], "pages name it; there is nothing to look after"
    taken = Taken()
    sending.ring_due(store, taken, at(16, 45))  # type: ignore[arg-type]
    assert set(taken.to) == {f"https://p.example/{one}" for one in (broken, other)}


def test_alarms_are_read_back_again_when_a_step_moves_and_live_again_once_the_server_keeps_them(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    odd.strips_alarms = True
    connect(home, tools, odd.url)
    plan = home.plan()
    publish_all(home.store, tools, home.now)
    assert state(home).alarms == "lost"
    odd.strips_alarms = False
    home.later(plan, "press", 300)
    publish_all(home.store, tools, home.now)
    assert state(home).alarms == "live"
    publish_all(home.store, tools, home.now)
    assert all("valarm" in one.contents for one in odd.events().values()), "those that did not move ring too"
    written = dict(odd.held)
    publish_all(home.store, tools, home.now)
    assert odd.held == written


def test_a_server_that_begins_to_strip_alarms_is_found_out_by_a_test_ring_and_by_a_move(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    assert state(home).alarms == "live"
    odd.strips_alarms = True
    caldav.ring_in_calendar(home.store, tools, home.now, home.kitchen_id, home.new_id)
    assert state(home).alarms == "lost"
    odd.strips_alarms = False
    caldav.ring_in_calendar(home.store, tools, home.now, home.kitchen_id, home.new_id)
    assert state(home).alarms == "live"
    odd.strips_alarms = True
    home.moved(plan, 600)
    publish_all(home.store, tools, home.now)
    assert state(home).alarms == "lost"


def test_an_alarm_that_a_person_took_away_says_nothing_of_the_server(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    path = odd.path_of("press")
    odd.held[path] = re.sub(rb"BEGIN:VALARM.*?END:VALARM\r\n", b"", odd.held[path], flags=re.S)
    home.later(plan, "press", 300)
    publish_all(home.store, tools, home.now)
    assert state(home).alarms == "live"
    assert "valarm" not in odd.events()["press"].contents


def test_four_slow_servers_delay_no_healthy_household(home: Home, tools: account.Tools, odd: OddServer) -> None:
    slow = [OddServer() for _ in range(4)]
    hung = threading.Event()
    background = Background(settings_in(home.folder, local_calendars=True), now=lambda: home.now)
    try:
        for number, server in enumerate(slow):
            server.slow = hung
            kitchen_id = f"{number}" * 22
            home.store.add_kitchen(kitchen_id, to_plain(sample_kitchen()), home.now)
            other = Home(home.folder, kitchen_id=kitchen_id)
            connect(other, tools, server.url, kitchen_id)
            other.plan(sample_plan(f"{number}" * 21 + "b"))
        connect(home, tools, odd.url)
        plan = home.plan()
        turns = 30
        while len(odd.held) < len(plan.steps) and turns:
            background.calendars()  # waits a second at most
            turns -= 1
        assert len(odd.held) == len(plan.steps)
        assert not hung.is_set()
        assert all(server.held == {} for server in slow)
    finally:
        hung.set()
        for lines in background._writing:
            lines.close()
        for server in slow:
            server.stop()


@pytest.mark.parametrize("tells_names", [True, False])
def test_a_moment_in_which_a_server_has_none_of_its_events_freezes_none_of_them(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, tells_names: bool
) -> None:
    """GET says 404, and the calendar answers as ever. Where it names its events (RFC 4791 7.8) that is trouble of the
    server's; where it does not, the events are looked at once more."""
    odd.tells_names, odd.says_when_changed = tells_names, True
    look(home.store, tools, home.now, home.kitchen_id)
    answers = odd.answers

    def none_there(verb: str, path: str, headers: object, body: bytes) -> tuple[int, dict[str, str], bytes]:
        return (404, {}, b"") if verb == "GET" else answers(verb, path, headers, body)

    odd.answers = none_there  # type: ignore[method-assign]
    plan = home.moved(plan, 1800)
    home.now += 11
    publish_all(home.store, tools, home.now)
    home.now += 200
    look(home.store, tools, home.now, home.kitchen_id)
    odd.answers = answers  # type: ignore[method-assign]
    for _ in range(8):
        home.now += 200
        publish_all(home.store, tools, home.now)
        look(home.store, tools, home.now, home.kitchen_id)
    assert state(home).left_alone == ()
    assert state(home).problem == ""
    assert int(odd.events()["press"].dtstart.value.timestamp()) == next(
        s.start for s in plan.steps if s.step_id == "press"
    )
