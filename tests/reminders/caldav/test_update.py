"""Servers whose tags cannot be relied on, that are out of order, that strip alarms: against a fake over real HTTP."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.home import Home
from tests.reminders.caldav.connected import connect, publish_all, state, take_out_tests
from tests.reminders.caldav.odd_server import OddServer, Tag, none, restless, strong, weak
from tests.samples import at, sample_kitchen, sample_plan
from webapp.machine.net_guard import Guard
from webapp.records import to_plain
from webapp.reminders.caldav import account
from webapp.reminders.caldav import publish as caldav
from webapp.reminders.caldav.client import CalendarServer
from webapp.reminders.wire import Login


@pytest.mark.parametrize("tag", [strong, weak, none, restless])
def test_whatever_a_server_does_with_its_tags_a_step_moves_and_what_a_person_changed_is_kept(
    home: Home, tools: account.Tools, odd: OddServer, tag: Tag
) -> None:
    odd.tag = tag
    connect(home, tools, odd.url)
    plan = home.plan()
    publish_all(home.store, tools, home.now)
    assert state(home).problem == ""
    odd.rewrite("press", "SUMMARY:Press", "SUMMARY:Ada: press")
    home.later(plan, "press", 1800)
    publish_all(home.store, tools, home.now)
    assert state(home).problem == ""
    there = odd.events()["press"]
    assert int(there.dtstart.value.timestamp()) == at(17, 15)
    assert there.summary.value.startswith("Ada: press")
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert set(odd.events()) == {"press"}
    assert "valarm" not in odd.events()["press"].contents


def test_a_change_between_our_look_and_our_writing_is_seen(home: Home, tools: account.Tools, odd: OddServer) -> None:
    connect(home, tools, odd.url)
    plan = home.plan()
    publish_all(home.store, tools, home.now)

    def meddle(path: str) -> None:
        odd.meddle = None
        odd.rewrite("press", "SUMMARY:Press", "SUMMARY:Ada: press")

    odd.meddle = meddle
    home.later(plan, "press", 1800)
    publish_all(home.store, tools, home.now)
    assert odd.events()["press"].summary.value.startswith("Ada: press")
    assert int(odd.events()["press"].dtstart.value.timestamp()) == at(17, 15)


def test_an_event_that_changes_for_ever_is_said_and_tried_again(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    connect(home, tools, odd.url)
    plan = home.plan()
    publish_all(home.store, tools, home.now)
    turns = iter(range(1000))
    odd.meddle = lambda path: odd.rewrite("press", "SUMMARY:", f"SUMMARY:{next(turns)}")
    home.later(plan, "press", 1800)
    publish_all(home.store, tools, home.now)
    assert "changes all the time" in state(home).problem
    assert state(home).next_try > home.now


def test_one_servers_odd_answer_does_not_end_the_round_for_the_others(
    tmp_path: Path, odd: OddServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = Home(tmp_path)
    tools = account.Tools(home.box, Guard(local=True))
    home.store.add_kitchen("o" * 22, to_plain(sample_kitchen()), home.now)
    other = Home(tmp_path, kitchen_id="o" * 22)
    connect(home, tools, "http://127.0.0.1:9/odd/")
    connect(other, tools, odd.url)
    home.plan()
    other.plan(sample_plan("c" * 22))
    asks = CalendarServer.ask

    def ask(self: CalendarServer, verb: str, url: str, *rest: object) -> object:
        if "/odd/" in url:
            raise LookupError("an answer nobody thought of")
        return asks(self, verb, url, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(CalendarServer, "ask", ask)
    publish_all(home.store, tools, home.now)
    assert len(odd.events()) == 6
    assert "cannot be understood" in state(home).problem
    assert state(home).next_try > home.now


def test_one_event_that_is_refused_does_not_keep_the_others_out(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    connect(home, tools, odd.url)
    home.plan()
    odd.answers = refusing(odd, "-press.ics")  # type: ignore[method-assign]
    publish_all(home.store, tools, home.now)
    assert set(odd.events()) == {s.step_id for s in sample_plan().steps} - {"press"}
    assert "does not allow" in state(home).problem


def refusing(odd: OddServer, end: str) -> object:
    answers = odd.answers
    return lambda verb, path, headers, body: (
        (403, {}, b"") if verb == "PUT" and path.endswith(end) else answers(verb, path, headers, body)
    )


def test_a_server_back_after_fifty_five_minutes_is_written_within_five_and_a_change_is_tried_at_once(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    connect(home, tools, odd.url)
    plan = home.plan()
    odd.status = 503
    began = home.now
    while home.now < began + 55 * 60:
        publish_all(home.store, tools, home.now)
        home.now += 10
    asked = len(odd.asked)
    assert asked <= 14, "not hammered either: after 1, 2, then every 5 minutes"
    odd.status = 0
    while not odd.held and home.now < began + 120 * 60:
        home.now += 10
        publish_all(home.store, tools, home.now)
    assert home.now <= began + 60 * 60
    odd.status = 503
    plan = home.later(plan, "press", 300)
    publish_all(home.store, tools, home.now)
    assert state(home).problem
    publish_all(home.store, tools, home.now)
    odd.status = 0
    home.later(plan, "press", 300)
    publish_all(home.store, tools, home.now)
    assert state(home).problem == ""
    assert int(odd.events()["press"].dtstart.value.timestamp()) == at(16, 55)


def test_a_change_tries_a_refused_password_too_but_never_twice_within_five_minutes_for_that_locks_people_out(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    connect(home, tools, odd.url)
    plan = home.plan()
    odd.status = 401
    publish_all(home.store, tools, home.now)
    assert state(home).refused
    asked = len(odd.asked)
    home.later(plan, "press", 300)
    publish_all(home.store, tools, home.now + 299)
    assert len(odd.asked) == asked
    publish_all(home.store, tools, home.now + 300)
    assert len(odd.asked) == asked + 1
    home.now += 400
    odd.status = 0
    home.later(plan, "press", 600)
    publish_all(home.store, tools, home.now + 200)
    assert (state(home).refused, int(odd.events()["press"].dtstart.value.timestamp())) == (False, at(16, 55))


def test_a_server_that_strips_alarms_is_found_out_with_the_first_event(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    odd.strips_alarms = odd.tells_names = True
    connect(home, tools, odd.url)
    home.plan()
    publish_all(home.store, tools, home.now)
    assert state(home).alarms == "lost"
    assert [verb for verb, _, _ in odd.asked].count("GET") == 1


def test_a_calendar_that_moved_for_good_is_written_where_it_is_now(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    """RFC 9110 15.4.9: 308, the verb and what it carries stay what they are."""
    odd.moved_to = "/elsewhere/"
    connect(home, tools, odd.url)
    plan = home.plan()
    publish_all(home.store, tools, home.now)
    home.later(plan, "press", 1800)
    publish_all(home.store, tools, home.now)
    assert state(home).problem == ""
    assert {path.rpartition("/")[0] for path in odd.held} == {"/elsewhere"}
    assert int(odd.events()["press"].dtstart.value.timestamp()) == at(17, 15)


def test_an_answer_that_got_lost_does_not_freeze_an_event_whose_plan_moved_meanwhile(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    connect(home, tools, odd.url)
    plan = home.plan()
    publish_all(home.store, tools, home.now)
    home.store.drop_posted(home.kitchen_id, f"{plan.bake_id}-press@suppertide")
    home.later(plan, "press", 1800)
    publish_all(home.store, tools, home.now)
    assert int(odd.events()["press"].dtstart.value.timestamp()) == at(17, 15)


def test_connecting_reads_no_event_of_the_calendar(home: Home, tools: account.Tools, odd: OddServer) -> None:
    """A busy person's main calendar holds thousands of events: only the calendar itself is asked for (Depth 0)."""
    (found,) = account.find_calendars(tools, odd.url, "u", "p")
    assert account.chosen_calendar(tools, found.url, Login("u", "p")) == found
    assert {(verb, depth) for verb, _, depth in odd.asked} == {("PROPFIND", "0")}


def test_a_test_ring_that_cannot_be_taken_out_does_not_stop_the_others(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    connect(home, tools, odd.url)
    caldav.ring_in_calendar(home.store, tools, home.now, home.kitchen_id, home.new_id)
    odd.answers = lambda *_: (299, {}, b"")  # type: ignore[method-assign]
    take_out_tests(home.store, tools, home.now + 3600)
    assert home.store.posted(home.kitchen_id) == ()
