"""The page of reminders: says what rings, sets up every route, loses nothing that was typed."""

from __future__ import annotations

import re
from base64 import b64decode
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from html import unescape
from pathlib import Path
from typing import Any

import pytest
import vobject
from flask import Flask

from tests.reminders.caldav.odd_server import OddServer
from tests.reminders.caldav.test_caldav import PASSWORD, USER, Server
from tests.samples import at
from tests.web.conftest import SAME, Clock, InKitchen, event, sample_planner
from webapp.core.kitchen import Person
from webapp.data.read import table
from webapp.kitchens.access import change_kitchen
from webapp.machine.settings import Settings
from webapp.web.app import create_app
from webapp.web.reminders.page import MINUTES, RINGING_KINDS
from webapp.words.plan.step_texts import step_texts

PAGE = "/reminders"


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    running = Server(tmp_path_factory.mktemp("radicale"))
    yield running
    running.stop()
    running.client.close()


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(data=tmp_path / "data", local_calendars=True)


def row(kitchen: InKitchen, route: str) -> str:
    """What the table says of one route, as text."""
    (found,) = [one for one in kitchen.get(PAGE).text.split("<details ")[1:] if f'id="{route}"' in one]
    return re.sub(r"<[^>]+>|\s+", " ", found)


def connects(kitchen: InKitchen, server: Server, name: str) -> str:
    """Look for calendars and choose the one made here; its address."""
    url = server.make(name, name)
    typed = {"address": server.url, "username": USER, "password": PASSWORD}
    chooser = kitchen.posts("/reminders/calendar/find", typed, page=PAGE)
    assert chooser.status_code == 200, chooser.text
    assert PASSWORD not in chooser.text
    sealed = re.search(r'name="sealed" value="([^"]+)"', chooser.text)
    assert sealed
    done = kitchen.posts("/reminders/calendar", {"sealed": sealed[1], "calendar": url}, page=PAGE)
    assert done.status_code == 303
    return url


def test_a_newcomer_is_told_that_nothing_rings_by_itself_and_what_would(kitchen: InKitchen) -> None:
    page = kitchen.get(PAGE).text
    assert "No web page can ring a phone that is locked" in page
    assert "Not set up" in row(kitchen, "calendar")
    assert "an added file is a copy" in row(kitchen, "file")
    assert "leave out the alarms" in row(kitchen, "feed")
    assert "silent" in row(kitchen, "page")


def test_every_route_offers_a_test_ring(app: Flask, kitchen: InKitchen, server: Server) -> None:
    connects(kitchen, server, "rings")
    page = kitchen.get(PAGE).text
    for mark in ("/reminders/calendar/test", "/reminders/test.ics", "data-push-test", "data-beep"):
        assert mark in page


def test_minutes_are_saved_shown_again_and_reach_the_calendar(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    saved = kitchen.posts("/reminders/alarms", {"alarm-mix": "45", "alarm-lift": "-1"}, page=PAGE)
    assert saved.status_code == 303
    page = kitchen.get(PAGE).text
    assert '<option selected value="45">' in page
    text = kitchen.get(f"/bakes/{bake_id}/bake.ics").text
    assert "TRIGGER:-PT45M" in text
    lift = kitchen.get(f"/bakes/{bake_id}/steps/lift.ics").text
    assert "SUMMARY:Put the topping on" in lift, "without a ring of its own it is told where the tray goes in"


def test_minutes_that_are_not_on_the_list_are_said_at_their_field(kitchen: InKitchen) -> None:
    answer = kitchen.posts("/reminders/alarms", {"alarm-mix": "7777", "alarm-press": "10"}, page=PAGE)
    assert answer.status_code == 422
    assert "not on the list" in answer.text
    assert '<option selected value="10">' in answer.text, "nothing chosen is lost"


def test_every_kind_of_the_sample_plan_has_a_choice_of_minutes() -> None:
    from tests.samples import sample_plan

    assert {s.kind for s in sample_plan().steps} <= set(RINGING_KINDS)
    assert len({value for value, _ in MINUTES}) == len(MINUTES)


def test_a_feed_is_made_shown_renewed_and_switched_off(kitchen: InKitchen, phone: Callable[[], InKitchen]) -> None:
    kitchen.has_a_bake()
    stranger = phone()

    def address() -> str:
        found = re.search(r"http://localhost(/feed/[^\"]+)", kitchen.get(PAGE).text)
        return found[1] if found else ""

    assert not address()
    kitchen.posts("/reminders/feed", page=PAGE)
    first = address()
    assert stranger.get(first).status_code == 200
    assert "Last fetched about" in kitchen.get(PAGE).text
    kitchen.posts("/reminders/feed", page=PAGE)
    assert address() != first
    assert stranger.get(first).status_code == 404
    second = address()
    kitchen.posts("/reminders/feed/off", page=PAGE)
    assert stranger.get(second).status_code == 404
    assert not address()


def test_setting_up_a_calendar_writes_the_steps_there_at_once(kitchen: InKitchen, server: Server) -> None:
    kitchen.has_a_bake()
    url = connects(kitchen, server, "kitchen")
    assert len(server.events(url)) == 6
    assert "“kitchen”" in row(kitchen, "calendar")
    assert "Last brought up to date" in kitchen.get(PAGE).text
    for one in server.events(url).values():
        assert one.url.value.startswith("http://localhost/bakes/")


def test_a_wrong_password_keeps_what_was_typed_but_not_the_password(kitchen: InKitchen, server: Server) -> None:
    typed = {"address": server.url, "username": USER, "password": "not-it"}
    answer = kitchen.posts("/reminders/calendar/find", typed, page=PAGE)
    assert answer.status_code == 422
    assert "does not accept" in answer.text
    assert server.url in answer.text
    assert "not-it" not in answer.text


def test_an_address_that_was_not_offered_is_not_taken(kitchen: InKitchen, server: Server) -> None:
    server.make("offered", "offered")
    typed = {"address": server.url, "username": USER, "password": PASSWORD}
    chooser = kitchen.posts("/reminders/calendar/find", typed, page=PAGE)
    sealed = re.search(r'name="sealed" value="([^"]+)"', chooser.text)
    assert sealed
    for calendar in ("", f"{server.url}/nowhere/", "http://169.254.169.254/latest/"):
        answer = kitchen.posts("/reminders/calendar", {"sealed": sealed[1], "calendar": calendar}, page=PAGE)
        assert answer.status_code == 422
    forged = kitchen.posts("/reminders/calendar", {"sealed": "gAAAAA", "calendar": server.url}, page=PAGE)
    assert forged.status_code == 422
    assert "too old" in forged.text


def test_a_login_sealed_for_one_kitchen_is_no_use_in_another(
    kitchen: InKitchen, phone: Callable[[], InKitchen], server: Server
) -> None:
    url = server.make("mine", "mine")
    typed = {"address": server.url, "username": USER, "password": PASSWORD}
    sealed = re.search(
        r'name="sealed" value="([^"]+)"', kitchen.posts("/reminders/calendar/find", typed, page=PAGE).text
    )
    assert sealed
    thief = phone()
    assert thief.kitchen_id() != kitchen.kitchen_id()
    answer = thief.posts("/reminders/calendar", {"sealed": sealed[1], "calendar": url}, page=PAGE)
    assert answer.status_code == 422


def test_an_event_taken_out_is_told_and_can_be_written_again(kitchen: InKitchen, server: Server) -> None:
    bake_id = kitchen.has_a_bake()
    url = connects(kitchen, server, "changed")
    uid = f"{bake_id}-lift@suppertide"
    assert server.client.delete(f"{url}{bake_id}-lift.ics").is_success
    kitchen.posts("/reminders/alarms", {"alarm-lift": "5"}, page=PAGE)
    kitchen.posts("/reminders/calendar/now", page=PAGE)
    page = kitchen.get(PAGE).text
    assert "was taken out of the calendar" in page
    kitchen.posts("/reminders/calendar/ours", {"uid": uid}, page=PAGE)
    assert "was taken out of the calendar" not in kitchen.get(PAGE).text
    assert server.events(url)[uid].summary.value == "Out of the oven"
    assert kitchen.posts("/reminders/calendar/ours", {"uid": "nope"}, page=PAGE).status_code == 404


def test_a_test_ring_goes_into_the_calendar_and_disconnecting_cleans_up(
    kitchen: InKitchen, server: Server, clock: Clock
) -> None:
    kitchen.has_a_bake()
    url = connects(kitchen, server, "test-ring")
    assert kitchen.posts("/reminders/calendar/test", page=PAGE).status_code == 303
    assert [e.summary.value for e in server.events(url).values()].count("Test ring from Suppertide") == 1
    kitchen.posts("/reminders/calendar/off", page=PAGE)
    assert server.events(url) == {}
    assert "Not set up" in row(kitchen, "calendar")
    assert kitchen.posts("/reminders/calendar/test", page=PAGE).status_code == 404


def test_the_home_network_is_shut_unless_the_owner_opened_it(tmp_path: Path, clock: Clock) -> None:
    app = create_app(Settings(data=tmp_path / "shut"), planner=sample_planner, now=clock)
    app.testing = True
    kitchen = InKitchen(app.test_client())
    typed = {"address": "http://127.0.0.1:1/", "username": "u", "password": "p"}
    answer = kitchen.posts("/reminders/calendar/find", typed, page=PAGE)
    assert answer.status_code == 422
    assert "own network" in answer.text


def test_changes_need_a_form_of_ours(kitchen: InKitchen) -> None:
    kitchen.get(PAGE)
    for path in ("/reminders/feed", "/reminders/alarms", "/reminders/calendar/off", "/reminders/calendar"):
        assert kitchen.client.post(path, headers=SAME).status_code == 400
        assert kitchen.client.post(path, headers={"Sec-Fetch-Site": "cross-site"}).status_code == 403


def test_deleting_everything_takes_the_coming_steps_out_of_the_calendar(kitchen: InKitchen, server: Server) -> None:
    kitchen.has_a_bake()
    url = connects(kitchen, server, "everything")
    assert server.events(url)
    assert kitchen.posts("/delete-everything", {"word": "delete"}, page="/take-along").status_code == 200
    assert server.events(url) == {}


def test_every_kind_of_step_that_needs_somebody_has_its_own_minutes(kitchen: InKitchen) -> None:
    by_itself = {"bulk", "proof"}  # the dough alone
    asked = re.findall(r'<select[^>]*name="alarm-([a-z-]+)"', kitchen.get(PAGE).text)
    assert asked == list(RINGING_KINDS)
    assert 'name="rings"' in kitchen.get(PAGE).text
    assert set(asked) == set(table("steps")) - by_itself | {"home"}


def test_the_minutes_of_what_is_done_beside_the_dough_are_in_the_calendar_of_a_bake_planned_before(
    settings: Settings, clock: Clock
) -> None:
    """With the real planner: the sauce, the cheese out of the fridge, the pan turned round."""
    kitchen = InKitchen(create_app(settings, now=clock).test_client())
    bake_id = kitchen.has_a_bake()
    beside = {"sauce": "45", "cheese-out": "20", "turn": "-1"}
    kitchen.posts("/reminders/alarms", {f"alarm-{kind}": minutes for kind, minutes in beside.items()}, page=PAGE)
    events = kitchen.get(f"/bakes/{bake_id}/bake.ics").text.replace("\r\n ", "").split("BEGIN:VEVENT")[1:]
    rings = {kind: [re.findall(r"TRIGGER:(\S+)", one) for one in events if f"-{kind}@" in one] for kind in beside}
    assert rings == {"sauce": [["-PT45M"]], "cheese-out": [["-PT20M"]], "turn": []}


def test_every_step_is_a_choice_that_is_kept(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    assert kitchen.get(f"/bakes/{bake_id}/bake.ics").text.count("BEGIN:VALARM") == 6
    kitchen.posts("/reminders/alarms", {"rings": "every"}, page=PAGE)
    assert "Every step" in kitchen.get(PAGE).text.split('<h2 class="card__title">')[-1]
    every = kitchen.get(f"/bakes/{bake_id}/bake.ics").text.replace("\r\n ", "")
    assert every.count("BEGIN:VALARM") == 9 + 1, "nine steps, and coming home"
    kitchen.posts("/reminders/alarms", {"rings": "moments"}, page=PAGE)
    few = kitchen.get(f"/bakes/{bake_id}/bake.ics").text
    assert few.count("BEGIN:VALARM") == 6
    assert few.count("STATUS:CANCELLED") == 4


@pytest.mark.parametrize(
    ("agent", "said"),
    [
        ("Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X)", "On an iPhone or iPad"),
        ("Mozilla/5.0 (Linux; Android 15; K)", "some calendar apps take only the first step of a file"),
        ("Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7)", "On an iPad or a Mac"),
        ("Mozilla/5.0 (X11; Linux x86_64)", "Open this page on the phone that is to ring"),
    ],
)
def test_the_page_speaks_of_the_phone_in_hand(kitchen: InKitchen, agent: str, said: str) -> None:
    page = kitchen.get(PAGE, headers={"User-Agent": agent}).text
    assert said in page
    assert "none is doubled" not in page


def test_a_refused_password_is_seen_on_the_home_page_and_the_bakes_page(kitchen: InKitchen, server: Server) -> None:
    bake_id = kitchen.has_a_bake()
    connects(kitchen, server, "refused")
    store, kitchen_id = kitchen.store, kitchen.kitchen_id()
    for path in ("/", f"/bakes/{bake_id}"):
        assert "no longer takes our password" not in kitchen.get(path).text
    row = store.account(kitchen_id)
    assert row
    store.account_has_problem(row, "The calendar server does not accept it.", 2**40, 1, 0, refused=True)
    for path in ("/", f"/bakes/{bake_id}"):
        assert "no longer takes our password" in kitchen.get(path).text


def test_a_server_that_is_out_of_order_is_said_there_too_once_it_lasts(
    kitchen: InKitchen, server: Server, clock: Clock
) -> None:
    bake_id = kitchen.has_a_bake()
    connects(kitchen, server, "outage")
    row = kitchen.store.account(kitchen.kitchen_id())
    assert row
    kitchen.store.account_has_problem(row, "It says 503.", clock.now + 300, 1, clock.now)
    said = "cannot be written just now"
    assert [said in kitchen.get(path).text for path in ("/", f"/bakes/{bake_id}")] == [False, False]
    clock.now += 1801
    assert [said in kitchen.get(path).text for path in ("/", f"/bakes/{bake_id}")] == [True, True]


@pytest.mark.parametrize(("answer", "hour"), [("theirs", "16:20"), ("ours", "16:45")])
def test_the_bakes_page_asks_about_a_step_that_was_moved_in_the_calendar(
    kitchen: InKitchen, server: Server, answer: str, hour: str
) -> None:
    bake_id = kitchen.has_a_bake()
    url = connects(kitchen, server, f"moved-{answer}")
    uid = f"{bake_id}-press@suppertide"
    server.rewrite(uid, url, "DTSTART:20261125T1645", "DTSTART:20261125T1620")
    kitchen.posts("/reminders/calendar/now", page=PAGE)
    page = kitchen.get(f"/bakes/{bake_id}").text
    assert "Which shall it be there?" in page
    assert "Back to 16:45" in page
    assert "Leave it at 16:20" in page
    assert "the event returns to 16:45" in page
    assert "it rings there for 16:20" in page
    assert "moved in your calendar" in kitchen.get("/").text
    sent = {"uid": uid, "bake": bake_id, "answer": answer}
    assert kitchen.posts("/reminders/calendar/start", sent, page=f"/bakes/{bake_id}").status_code == 303
    assert "Which shall it be there?" not in kitchen.get(f"/bakes/{bake_id}").text
    assert "moved in your calendar" not in kitchen.get("/").text
    assert f"{server.events(url)[uid].dtstart.value:%H:%M}" == hour


def test_a_bake_that_was_given_up_offers_a_file_that_calls_its_steps_off(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    given_up = kitchen.posts(f"/bakes/{bake_id}/drop", page=f"/bakes/{bake_id}")
    page = kitchen.get(given_up.headers["Location"]).text  # what is shown next, with nothing to look for
    assert "You gave this bake up." in page
    assert page.count("Call the steps off") == 1
    assert page.index("ring on until you add this file") < page.index("Call the steps off")
    assert "Put it in my calendar" not in page
    file = kitchen.get(f"/bakes/{bake_id}/bake.ics").text
    assert file.count("STATUS:CANCELLED") == file.count("BEGIN:VEVENT") == 6
    assert "VALARM" not in file


def test_who_forgets_a_bake_that_is_still_to_come_is_told_what_an_added_file_goes_on_doing(
    kitchen: InKitchen, clock: Clock
) -> None:
    for now, said in ((at(6), True), (at(23), False)):
        clock.now = at(6)
        bake_id = kitchen.has_a_bake()
        clock.now = now
        kitchen.posts(f"/bakes/{bake_id}/delete", page=f"/bakes/{bake_id}")
        assert ("ring on until you delete them there" in kitchen.get("/").text) is said


def test_a_bake_that_moved_offers_a_file_that_calls_the_former_steps_off(kitchen: InKitchen, clock: Clock) -> None:
    """RFC 5546 2.1.5: of two events of one name the higher SEQUENCE counts, then the later DTSTAMP. So the order is:
    what was added, the file that calls it off, the file of the bake as it is now."""
    bake_id = kitchen.has_a_bake()
    link = f"/bakes/{bake_id}/called-off.ics"
    assert kitchen.get(link).status_code == 404, "nothing was added, nothing moved"
    added = vobject.readOne(kitchen.get(f"/bakes/{bake_id}/bake.ics").text)
    assert link not in kitchen.get(f"/bakes/{bake_id}").text
    clock.now = at(8)
    later = event(bake_id, "supper", instant=at(20, 30)) | {"at": at(8), "logged_at": at(8)}  # an hour later: all of it
    assert kitchen.sends(bake_id, later).status_code == 200
    assert link in kitchen.get(f"/bakes/{bake_id}").text
    off = vobject.readOne(kitchen.get(link).text)
    now = vobject.readOne(kitchen.get(f"/bakes/{bake_id}/bake.ics").text)

    def order(calendar: vobject.base.Component) -> dict[str, tuple[int, datetime]]:
        return {e.uid.value: (int(e.sequence.value), e.dtstamp.value) for e in calendar.vevent_list}

    assert {e.status.value for e in off.vevent_list} == {"CANCELLED"}
    assert not any("valarm" in e.contents for e in off.vevent_list)
    for uid, stamp in order(off).items():
        assert order(added)[uid] < stamp < order(now)[uid]


def test_a_bake_that_moved_since_its_file_was_fetched_says_so_beside_the_button_until_it_is_fetched_again(
    kitchen: InKitchen, clock: Clock
) -> None:
    bake_id = kitchen.has_a_bake()
    kitchen.get(f"/bakes/{bake_id}/bake.ics")
    assert "rings at the old times" not in kitchen.get(f"/bakes/{bake_id}").text
    clock.now = at(8)
    later = event(bake_id, "supper", instant=at(20, 30)) | {"at": at(8), "logged_at": at(8)}  # an hour later: all of it
    assert kitchen.sends(bake_id, later).status_code == 200
    page = kitchen.get(f"/bakes/{bake_id}").text
    assert "rings at the old times" in page
    assert "put them in again" in page
    kitchen.get(f"/bakes/{bake_id}/bake.ics")
    assert "rings at the old times" not in kitchen.get(f"/bakes/{bake_id}").text


def test_a_bake_has_not_moved_while_every_step_to_come_stands_where_it_stood(kitchen: InKitchen, clock: Clock) -> None:
    """Mixed 20 minutes early: what is done rings for nobody, and the steps to come are the same to the minute."""
    bake_id = kitchen.has_a_bake()
    before = kitchen.get(f"/bakes/{bake_id}/bake.ics").text
    clock.now = at(7, 10)
    assert kitchen.sends(bake_id, event(bake_id) | {"at": at(7, 10), "logged_at": at(7, 10)}).status_code == 200
    page = kitchen.get(f"/bakes/{bake_id}").text
    assert "The plan has moved" not in page
    assert "called-off.ics" not in page
    starts = [
        set(re.findall(r"DTSTART:(\S+)", text)) for text in (before, kitchen.get(f"/bakes/{bake_id}/bake.ics").text)
    ]
    assert len(starts[0] & starts[1]) >= 5, "all but mixing and what follows it at once"


def test_a_bake_that_nobody_has_told_of_has_not_moved_however_late_it_is(kitchen: InKitchen, clock: Clock) -> None:
    """The kitchen screen slides what is overdue; a calendar keeps what it was given until something is said."""
    bake_id = kitchen.has_a_bake()
    kitchen.get(f"/bakes/{bake_id}/bake.ics")
    for hour in (7, 9, 17):
        clock.now = at(hour, 30)
        assert "The plan has moved" not in kitchen.get(f"/bakes/{bake_id}").text, hour
        assert kitchen.get(f"/bakes/{bake_id}/called-off.ics").status_code == 404


def test_a_feed_can_be_subscribed_with_one_tap_and_says_who_reaches_a_home_address(kitchen: InKitchen) -> None:
    kitchen.posts("/reminders/feed", page=PAGE)
    page = kitchen.get(PAGE).text
    assert 'href="webcal://localhost/feed/' in page
    assert "a calendar that its provider fetches does not" in page


def test_a_house_of_two_is_given_an_address_for_each(app: Flask, kitchen: InKitchen) -> None:
    kitchen.posts("/reminders/feed", page=PAGE)
    assert "For one of you alone" not in kitchen.get(PAGE).text
    people = (Person("Ann"), Person("Zoë & Bo"))
    change_kitchen(app.extensions["suppertide"].store, kitchen.kitchen_id(), lambda old: replace(old, people=people))
    page = kitchen.get(PAGE).text
    found = re.findall(r'value="http://localhost(/feed/[^"?]+\.ics\?person=[^"]+)"', page)
    assert [kitchen.get(unescape(path)).status_code for path in found] == [200, 200]
    assert [unescape(path).split("=")[1] for path in found] == ["Ann", "Zo%C3%AB%20%26%20Bo"]  # RFC 3986 2.1, UTF-8


def test_each_kind_of_step_has_the_title_that_a_plan_gives_it(kitchen: InKitchen) -> None:
    page = kitchen.get("/reminders").text
    for kind, template in step_texts().items():
        assert (f'name="alarm-{kind}"' in page) == (kind in RINGING_KINDS)
        if kind in RINGING_KINDS:
            assert re.search(rf'<label[^>]*for="alarm-{kind}"[^>]*>\s*{re.escape(template.title)}\s*</label>', page), (
                kind
            )


@pytest.fixture
def odd() -> Iterator[OddServer]:
    running = OddServer()
    yield running
    running.stop()


def written_into(kitchen: InKitchen, odd: OddServer) -> str:
    """A picked bake whose steps stand in that calendar; its id."""
    bake_id = kitchen.has_a_bake()
    typed = {"address": odd.url, "username": "ada", "password": "old"}
    chooser = kitchen.posts("/reminders/calendar/find", typed, page=PAGE)
    sealed = re.search(r'name="sealed" value="([^"]+)"', chooser.text)
    assert sealed
    kitchen.posts("/reminders/calendar", {"sealed": sealed[1], "calendar": odd.url}, page=PAGE)
    assert odd.held
    return bake_id


def test_deleting_everything_says_what_stays_ringing_in_a_calendar_that_did_not_answer(
    kitchen: InKitchen, odd: OddServer
) -> None:
    written_into(kitchen, odd)
    odd.status = 503
    asked = kitchen.posts("/delete-everything", {"word": "delete"}, page="/take-along")
    assert asked.status_code == 422, "with the kitchen the login goes: nobody could take them out any more"
    assert f"Nothing was deleted yet: {len(odd.held)} events of ours may still stand" in asked.text
    assert "it says 503" in asked.text
    gone = kitchen.posts("/delete-everything", {"word": "delete", "anyway": "yes"}, page="/take-along").text
    assert f"{len(odd.held)} events stay in the calendar and may ring" in gone
    assert "it says 503" in gone


def test_disconnecting_says_what_stands_there_still_how_long_the_login_is_kept_and_forgets_it_when_told_to(
    kitchen: InKitchen, odd: OddServer
) -> None:
    bake_id = written_into(kitchen, odd)
    odd.status = 403
    kitchen.posts("/reminders/calendar/off", page=PAGE)
    page = kitchen.get(PAGE).text
    assert "Disconnected: nothing more is written there." in page
    assert "the password is forgotten" not in page
    assert f"{len(odd.held)} coming events may still stand there and ring: “" in page
    assert "does not allow" in page
    assert re.search(r"at the longest until (tomorrow|Thu)[^<]*06:\d\d", page), "a day from now"
    assert f"{len(odd.held)} steps may still ring" in kitchen.get("/").text
    assert f"{len(odd.held)} steps may still ring" in kitchen.get(f"/bakes/{bake_id}").text
    left = re.search(r'name="left" value="(\d+)"', page)
    assert left
    kitchen.posts("/reminders/calendar/left", {"left": left[1]}, page=PAGE)
    page = kitchen.get(PAGE).text
    assert "is left, and the password is forgotten.</strong>" in page
    assert f"{len(odd.held)} events stay in the calendar and may ring" in page
    assert "You had the login forgotten before all was out. Delete them there." in page
    kitchen.posts("/reminders/calendar/left", {"left": left[1]}, page=PAGE)
    assert "may ring" not in kitchen.get("/").text


def test_nobody_forgets_the_login_of_another_kitchen(
    kitchen: InKitchen, phone: Callable[[], InKitchen], odd: OddServer
) -> None:
    written_into(kitchen, odd)
    odd.status = 503
    kitchen.posts("/reminders/calendar/off", page=PAGE)
    left = re.search(r'name="left" value="(\d+)"', kitchen.get(PAGE).text)
    assert left
    other = phone()
    other.has_a_bake()
    for wrong in (left[1], "", "no number"):
        assert other.posts("/reminders/calendar/left", {"left": wrong}, page=PAGE).status_code == 404
    assert "is being left" in kitchen.get(PAGE).text


def test_an_address_of_name_at_provider_leads_all_the_way_without_a_user_name_typed_again(
    app: Flask, kitchen: InKitchen, odd: OddServer
) -> None:
    """RFC 6764 6: where a person gave a mail address its whole is tried as the user name."""
    kitchen.has_a_bake()
    ringing = app.extensions["suppertide-ringing"]
    found_there = replace(ringing.tools, look_up=lambda provider: odd.url)
    app.extensions["suppertide-ringing"] = replace(ringing, tools=found_there)
    names = []
    answers = odd.answers

    def heard(verb: str, path: str, headers: Any, body: bytes) -> tuple[int, dict[str, str], bytes]:
        names.append(b64decode(headers["Authorization"].removeprefix("Basic ")).decode())
        return answers(verb, path, headers, body)

    odd.answers = heard  # type: ignore[method-assign]
    typed = {"address": "ada@127.0.0.1", "username": "", "password": "old"}
    chooser = kitchen.posts("/reminders/calendar/find", typed, page=PAGE)
    sealed = re.search(r'name="sealed" value="([^"]+)"', chooser.text)
    assert sealed
    chosen = kitchen.posts("/reminders/calendar", {"sealed": sealed[1], "calendar": odd.url}, page=PAGE)
    assert chosen.status_code == 303
    assert len(odd.held) == 6
    assert set(names) == {"ada@127.0.0.1:old"}


def test_a_bake_given_up_is_said_to_be_cleared_only_when_it_is(kitchen: InKitchen, odd: OddServer) -> None:
    bake_id = written_into(kitchen, odd)
    odd.status = 503
    kitchen.posts(f"/bakes/{bake_id}/drop", page=f"/bakes/{bake_id}")
    kitchen.posts("/reminders/calendar/now", page=PAGE)
    page = kitchen.get(f"/bakes/{bake_id}").text
    assert "cleared already" not in page
    assert f"{len(odd.held)} steps are still in your calendar" in page
    odd.status = 0
    kitchen.posts("/reminders/calendar/now", page=PAGE)
    page = kitchen.get(f"/bakes/{bake_id}").text
    assert "is cleared already" in page
    assert odd.held == {}


def test_a_refused_password_can_be_entered_again_where_the_link_leads_and_the_events_stay_ours(
    kitchen: InKitchen, odd: OddServer
) -> None:
    written_into(kitchen, odd)
    odd.status = 401
    kitchen.posts("/reminders/calendar/now", page=PAGE)
    home = kitchen.get("/").text
    assert 'href="/reminders#password"' in home
    page = kitchen.get(PAGE).text
    assert 'id="password"' in page
    assert re.search(r'name="username"[^>]*value="ada"', page)
    wrong = kitchen.posts("/reminders/calendar/password", {"username": "ada", "password": "wrong"}, page=PAGE)
    assert wrong.status_code == 422
    assert "does not accept" in wrong.text
    odd.status = 0
    before = dict(odd.held)
    kitchen.posts("/reminders/calendar/password", {"username": "ada", "password": "new"}, page=PAGE)
    page = kitchen.get(PAGE).text
    assert "Signed in again" in page
    assert 'id="password"' not in page
    assert odd.held == before
    kitchen.posts("/reminders/calendar/off", page=PAGE)
    assert odd.held == {}
