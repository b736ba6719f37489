"""What becomes of the calendar, the feed and the messages of the kitchen that a phone leaves by joining another."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from tests.reminders.caldav.odd_server import OddServer
from tests.reminders.push.push_service import Browser
from tests.web.conftest import SAME, Clock, InKitchen
from tests.web.kitchen.test_join import code_of
from tests.web.reminders.test_connected_pages import connects, sealed_for
from webapp.machine.settings import Settings
from webapp.reminders.caldav import leaving
from webapp.reminders.push import sending
from webapp.web.reminder_tools import Ringing

PAGE = "/reminders"


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(data=tmp_path / "data", local_calendars=True)


@pytest.fixture
def calendar() -> Iterator[OddServer]:
    server = OddServer()
    yield server
    server.stop()


def goes_on(app: Flask, now: int) -> None:
    """A round over what is being left, as the server does it in the background."""
    ringing: Ringing = app.extensions["suppertide-ringing"]
    store = app.extensions["suppertide"].store
    for left_id in leaving.to_go_on(store, now):
        leaving.go_on_safely(store, ringing.tools, now, int(left_id))


def joins(second: InKitchen, first: InKitchen) -> str:
    """What the page says before, and the page after."""
    code = code_of(first)
    asked = second.get(f"/join?code={code}").text
    after = second.posts("/join", {"code": code}, page=f"/join?code={code}", follow_redirects=True).text
    return f"{asked}\n=====\n{after}"


def has_messages(phone: InKitchen, name: str) -> None:
    browser = Browser()
    sent = {
        "endpoint": f"https://fcm.googleapis.com/{name}",
        "keys": {"p256dh": browser.p256dh, "auth": "c2l4dGVlbiBieXRlcyBvaw"},
    }
    assert phone.client.post("/api/push", json=sent, headers=SAME).status_code == 200


def test_a_phone_that_joins_leaves_no_alarm_in_the_calendar_of_a_kitchen_that_nobody_opens_any_more(
    phone: Callable[[], InKitchen], app: Flask, clock: Clock, calendar: OddServer
) -> None:
    first, second = phone(), phone()
    first.has_a_bake()
    second.has_a_bake()
    connects(second, calendar)
    former = second.kitchen_id()
    assert len(calendar.held) == 6
    asked, _, after = joins(second, first).partition("=====")
    assert "Its calendar “Kitchen” is disconnected: the coming steps are taken out" in asked
    assert "The calendar “Kitchen” of the kitchen you left is being disconnected" in after
    assert second.store.account(former) is None
    assert len(calendar.held) == 6, "in the background: nobody waits for a calendar's server"
    assert "“Kitchen (before joining)” is being left." in second.get(PAGE).text
    goes_on(app, clock.now)
    assert calendar.held == {}
    assert "being left" not in second.get(PAGE).text
    with second.store.reading() as db:
        assert db.exec_driver_sql("SELECT count(*) FROM left_calendars").fetchone()[0] == 0, "the login is forgotten"


def test_what_a_calendar_keeps_after_a_day_is_said_in_the_kitchen_that_was_joined(
    phone: Callable[[], InKitchen], app: Flask, clock: Clock, calendar: OddServer
) -> None:
    first, second = phone(), phone()
    first.has_a_bake()
    second.posts("/settings/zone", {"zone": "Europe/London"})
    second.plans({"supper": "2026-11-28T19:30"})
    bake_id = second.has_a_bake()
    connects(second, calendar)
    calendar.status = 503
    joins(second, first)
    goes_on(app, clock.now)
    page = second.get(PAGE).text
    assert "6 coming events may still stand there and ring" in page
    assert "it says 503" in page
    assert "may still ring from “Kitchen (before joining)”" in second.get("/").text
    assert second.get(f"/bakes/{bake_id}").status_code == 404
    assert second.posts("/reminders/calendar/left", {"left": "1"}, page=PAGE).status_code == 303
    assert "the password is forgotten" in second.get(PAGE).text


def test_a_kitchen_that_another_phone_opens_keeps_its_calendar_and_the_page_says_so(
    phone: Callable[[], InKitchen], app: Flask, clock: Clock, calendar: OddServer
) -> None:
    first, second, third = phone(), phone(), phone()
    first.has_a_bake()
    second.has_a_bake()
    joins(third, second)
    connects(second, calendar)
    asked, _, after = joins(second, first).partition("=====")
    assert "which other phones go on using" in asked
    assert "steps stay in the calendar “Kitchen”" in asked
    assert "is being disconnected" not in after
    goes_on(app, clock.now)
    assert len(calendar.held) == 6
    assert "Kitchen" in third.get(PAGE).text
    assert third.get("/join").text.count('name="name"') == 1, "who left is on its list no more"
    joins(third, first)
    goes_on(app, clock.now)
    assert calendar.held == {}, "now nobody opens it"


def feed_of(kitchen: InKitchen) -> str:
    """Made on its page; the path."""
    kitchen.posts("/reminders/feed", page=PAGE)
    found = re.search(r'value="[^"]*(/feed/[^"]+\.ics)"', kitchen.get(PAGE).text)
    assert found
    return found[1]


def test_the_feed_of_a_kitchen_that_nobody_opens_any_more_is_empty_and_the_page_says_so_before(
    phone: Callable[[], InKitchen],
) -> None:
    """A reader shows what the feed holds (200), and what it holds no more goes."""
    first, second, third, reader = phone(), phone(), phone(), phone()
    first.has_a_bake()
    bake_id = second.has_a_bake()
    joins(third, second)
    feed = feed_of(second)
    before = reader.get(feed)
    assert before.text.count("BEGIN:VALARM") >= 5
    asked, _, _ = joins(second, first).partition("=====")
    assert "Its feed goes on too." in asked
    assert "added to a calendar from a file" not in asked, "who stays can call them off"
    assert reader.get(feed).data == before.data, "another phone opens it"
    back = code_of(third)
    asked, _, _ = joins(third, first).partition("=====")
    assert "Its feed is empty from then on: a subscribed calendar drops the steps when it next looks" in asked
    assert "Steps that you added to a calendar from a file ring on until you delete them there." in asked
    after = reader.get(feed, headers={"If-None-Match": before.headers["ETag"]})
    assert after.status_code == 200
    assert (after.text.count("BEGIN:VEVENT"), after.text.count("BEGIN:VALARM")) == (1, 0)
    assert "No phone opens this kitchen any more" in after.text.replace("\r\n ", "")
    assert bake_id not in after.text.replace("\r\n ", "")
    third.posts("/join", {"code": back}, page=f"/join?code={back}")
    assert reader.get(feed).data == before.data, "a code that was made before still leads back"


def test_a_kitchen_without_a_feed_or_a_bake_to_come_is_left_without_a_word_of_them(
    phone: Callable[[], InKitchen],
) -> None:
    first, second = phone(), phone()
    first.has_a_bake()
    second.posts("/settings/zone", {"zone": "Europe/London"})
    asked, _, _ = joins(second, first).partition("=====")
    assert "No other phone opens that one" in asked
    assert "feed" not in asked
    assert "from a file" not in asked


def test_messages_go_along_with_the_phone_and_end_for_the_kitchen_that_it_left(
    phone: Callable[[], InKitchen], clock: Clock
) -> None:
    first, second, third = phone(), phone(), phone()
    theirs = first.has_a_bake()
    former_bake = second.has_a_bake()
    joins(third, second)
    former = second.kitchen_id()
    has_messages(second, "two")
    has_messages(third, "three")
    sending.lay_out(second.store, clock.now)
    asked, _, _ = joins(second, first).partition("=====")
    assert "Messages to this phone go on, and tell of the kitchen you join." in asked
    assert [s.endpoint for s in second.store.subscriptions(former)] == ["https://fcm.googleapis.com/three"]
    sending.lay_out(second.store, clock.now)
    with second.store.reading() as db:
        waiting = db.exec_driver_sql(
            "SELECT endpoint, payload FROM push_due JOIN push_subscriptions USING (subscription_id)"
        )
        told = {(row[0][-3:], re.search(r'"bake":"([^"]+)"', row[1])[1]) for row in waiting}  # type: ignore[index]
    assert told == {("two", theirs), ("ree", former_bake)}
    answer = second.client.get("/api/push", headers=SAME).json
    assert answer
    assert (answer["browsers"], answer["here"]) == (1, True)


def test_a_phone_that_joins_its_own_kitchen_again_loses_nothing(
    phone: Callable[[], InKitchen], app: Flask, clock: Clock, calendar: OddServer
) -> None:
    only = phone()
    bake_id = only.has_a_bake()
    connects(only, calendar)
    has_messages(only, "one")
    asked, _, after = joins(only, only).partition("=====")
    assert "It leaves the kitchen" not in asked
    assert "is disconnected" not in asked
    assert "being disconnected" not in after
    goes_on(app, clock.now)
    assert len(calendar.held) == 6
    assert only.get(f"/bakes/{bake_id}").status_code == 200
    assert only.get("/join").text.count('name="name"') == 1, "it is on the list once"
    answer = only.client.get("/api/push", headers=SAME).json
    assert answer
    assert (answer["browsers"], answer["here"]) == (1, True)


@pytest.mark.parametrize("what", ["connects", "changes the calendar"])
def test_a_phone_that_joins_while_a_calendar_is_connected_leaves_none_in_the_kitchen_it_left(
    phone: Callable[[], InKitchen], calendar: OddServer, what: str
) -> None:
    """The server takes its time over the question that comes before connecting; a calendar of those who stay is not
    taken from them by it."""
    first, second, third = phone(), phone(), phone()
    second.has_a_bake()
    former = second.kitchen_id()
    if what == "changes the calendar":
        joins(third, second)
        connects(third, calendar)
        before = second.store.account(former)
        chosen = f"{calendar.url}another/"
    else:
        before, chosen = None, calendar.url
    sealed, code = sealed_for(second, calendar), code_of(first)
    answers = calendar.answers

    def joined_meanwhile(*asked: Any) -> Any:
        calendar.answers = answers  # type: ignore[method-assign]
        second.posts("/join", {"code": code}, page=f"/join?code={code}")
        return answers(*asked)

    calendar.answers = joined_meanwhile  # type: ignore[method-assign]
    after = second.posts(
        "/reminders/calendar", {"sealed": sealed, "calendar": chosen}, page=PAGE, follow_redirects=True
    ).text
    assert "no calendar was connected" in after
    assert second.store.account(former) == before


def test_a_password_for_a_calendar_that_was_disconnected_meanwhile_is_not_kept_and_says_so(
    phone: Callable[[], InKitchen], calendar: OddServer
) -> None:
    first = phone()
    first.has_a_bake()
    connects(first, calendar)
    token, answers = first.token(PAGE), calendar.answers

    def off_meanwhile(*asked: Any) -> Any:
        calendar.answers = answers  # type: ignore[method-assign]
        first.client.post("/reminders/calendar/off", data={"csrf_token": token}, headers=SAME)
        return answers(*asked)

    calendar.answers = off_meanwhile  # type: ignore[method-assign]
    typed = {"csrf_token": token, "username": "u", "password": "new"}
    after = first.client.post("/reminders/calendar/password", data=typed, headers=SAME, follow_redirects=True).text
    assert "the password was not kept" in after
    assert first.store.account(first.kitchen_id()) is None
    assert calendar.held == {}
