"""Events of ours that stand in a calendar already: added from a file, written twice, once taken for somebody else's."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.home import Home
from tests.reminders.caldav.connected import connect, publish_all, stand_once_then_go, starts, state
from tests.reminders.caldav.odd_server import OddServer
from tests.samples import at, sample_plan
from webapp.core.plan.plan import Plan
from webapp.reminders import events
from webapp.reminders.caldav import account, leaving
from webapp.reminders.caldav import publish as caldav

STEPS = len(sample_plan().steps)


def add_file(home: Home, odd: OddServer, plan: Plan, maker: bytes = b"-//Suppertide//Suppertide 1//EN") -> None:
    """A calendar program adds the bake's file: each event under an address of its own, by its own name as the maker."""
    file = events.bake_file(home.store, home.now, home.kitchen_id, plan.bake_id, "https://h.example")
    head, *added = file.split(b"BEGIN:VEVENT")
    head = re.sub(rb"PRODID:[^\r]*", b"PRODID:" + maker, head)
    for place, one in enumerate(added):
        body = head + b"BEGIN:VEVENT" + one.partition(b"END:VCALENDAR")[0] + b"END:VCALENDAR\r\n"
        odd.write(f"/kitchen/added-{place}.ics", body)


@pytest.fixture
def twice(odd: OddServer) -> OddServer:
    """A calendar that allows one name twice (RFC 4791 5.3.2.1 forbids it) and says where names stand."""
    odd.tells_names = True
    return odd


@pytest.mark.parametrize("maker", [b"-//Suppertide//Suppertide 1//EN", b"-//Another//Program//EN"])
@pytest.mark.parametrize("moved_s", [0, 7200])
def test_steps_added_from_a_file_stand_once_where_a_calendar_allows_them_twice(
    home: Home, tools: account.Tools, twice: OddServer, maker: bytes, moved_s: int
) -> None:
    plan = home.plan()
    add_file(home, twice, plan, maker)
    connect(home, tools, twice.url)
    if moved_s:
        plan = home.moved(plan, moved_s)
    publish_all(home.store, tools, home.now)
    stand_once_then_go(home, tools, twice, plan)


def test_a_file_that_is_added_beside_our_own_writing_goes_with_the_next_change(
    home: Home, tools: account.Tools, twice: OddServer, plan: Plan
) -> None:
    add_file(home, twice, plan)
    assert len(twice.held) == 2 * STEPS
    plan = home.moved(plan, 3600)
    publish_all(home.store, tools, home.now)
    assert starts(twice) == sorted(s.start for s in plan.steps)
    add_file(home, twice, plan)
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert twice.held == {}, "a bake given up rings nowhere that we reach"


def test_steps_added_under_their_names_stand_once_where_a_calendar_tells_addresses_only(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    """Many programs call the file of an event by its name (UID); RFC 4918 9.1 lists it, and no event is asked for."""
    plan = home.plan()
    add_file(home, odd, plan, b"-//Another//Program//EN")
    for path in list(odd.held):
        name = re.search(rb"UID:(\S+)", re.sub(rb"\r\n ", b"", odd.held[path]))
        assert name
        odd.held[f"/kitchen/{name[1].decode()}.ics"] = odd.held.pop(path)
    odd.counts = dict.fromkeys(odd.held, 1)
    connect(home, tools, odd.url)
    plan = home.moved(plan, 7200)
    publish_all(home.store, tools, home.now)
    stand_once_then_go(home, tools, odd, plan)


@pytest.mark.parametrize("adds", ["", "\\n\\nBring flour"])
def test_the_text_of_a_step_whose_mark_was_thrown_away_follows_and_does_not_stand_twice(
    home: Home, tools: account.Tools, twice: OddServer, adds: str
) -> None:
    """Only what a person wrote into it keeps it: nobody can tell theirs from ours then."""
    twice.strips_marks = True
    plan = home.plan()
    add_file(home, twice, plan)
    path = next(path for path, body in twice.held.items() if b"-press@" in body)
    text = re.sub(rb"\r\n ", b"", twice.held[path])
    twice.held[path] = re.sub(rb"(DESCRIPTION:[^\r]*)", lambda found: found[1] + adds.encode(), text, count=1)
    connect(home, tools, twice.url)
    home.moved(plan, 7200)
    publish_all(home.store, tools, home.now)
    wanted = next(e for e in events.entries(home.store, home.now, home.kitchen_id) if e.step_id == "press")
    stands = twice.events()["press"].description.value
    assert stands.startswith(wanted.text)
    assert (stands == wanted.text) == (not adds)
    assert ("Bring flour" in stands) == bool(adds)


def test_a_server_that_cannot_say_what_stands_in_it_is_written_all_the_same(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    home.plan()
    connect(home, tools, odd.url)
    publish_all(home.store, tools, home.now)
    assert (len(odd.held), state(home).problem) == (STEPS, "")


def taken(home: Home, uid: str) -> None:
    """As an earlier version left it behind, which took more for somebody else's."""
    held = next(p for p in home.store.posted(home.kitchen_id) if p.uid == uid)
    home.store.put_posted(home.kitchen_id, replace(held, hands_off="taken"))


def test_what_was_once_taken_for_somebody_elses_is_sought_again_and_follows(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    taken(home, f"{plan.bake_id}-press@suppertide")
    home.moved(plan, 3600)
    publish_all(home.store, tools, home.now)
    assert state(home).left_alone == ()
    assert int(odd.events()["press"].dtstart.value.timestamp()) == at(17, 45)


def test_what_was_once_taken_for_somebody_elses_and_is_gone_is_written_again(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    taken(home, f"{plan.bake_id}-press@suppertide")
    del odd.held[odd.path_of("press")]
    caldav.try_now(home.store, home.kitchen_id)
    publish_all(home.store, tools, home.now)
    assert state(home).left_alone == ()
    assert "press" in odd.events()


@pytest.mark.parametrize("way", ["given up", "disconnected"])
def test_what_was_once_taken_for_somebody_elses_rings_no_more_when_all_is_off(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, way: str
) -> None:
    taken(home, f"{plan.bake_id}-press@suppertide")
    if way == "given up":
        home.drop(plan)
        publish_all(home.store, tools, home.now)
    else:
        leaving.disconnect(home.store, tools, home.now, home.kitchen_id)
    assert odd.held == {}


def test_somebody_elses_event_under_our_name_stays_theirs_through_all_of_it(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    plan = home.plan()
    other = (
        f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//EN\r\nBEGIN:VEVENT\r\nUID:{plan.bake_id}-mix@suppertide\r\n"
        "DTSTAMP:20260101T000000Z\r\nDTSTART:20261125T200000Z\r\nDTEND:20261125T210000Z\r\nSUMMARY:Mine\r\n"
        "DESCRIPTION:x\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
    ).encode()
    odd.write(f"/kitchen/{plan.bake_id}-mix.ics", other)
    connect(home, tools, odd.url)
    publish_all(home.store, tools, home.now)
    assert [one.why for one in state(home).left_alone] == ["taken"]
    plan = home.moved(plan, 600)
    publish_all(home.store, tools, home.now)
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert list(odd.held.values()) == [other]


def test_an_event_that_once_called_home_and_rang_twice_rings_at_its_step_only_beside_the_new_call(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    """Home at 16:30, pressing out at 16:35: for a while both were one event with two alarms, half an hour before
    coming home and five minutes before the step. RFC 5545 3.6.6: an event may have several."""
    home.change(every_step=False, alarms=())
    sample = sample_plan()
    steps = tuple(replace(s, start=at(16, 35), end=at(16, 45)) if s.kind == "press" else s for s in sample.steps)
    plan = home.plan(replace(sample, steps=steps))
    connect(home, tools, odd.url)
    publish_all(home.store, tools, home.now)
    odd.rewrite(
        "press", "BEGIN:VALARM", "BEGIN:VALARM\r\nTRIGGER:-PT35M\r\nACTION:DISPLAY\r\nEND:VALARM\r\nBEGIN:VALARM"
    )
    was = odd.held[odd.path_of("press")]
    held = next(p for p in home.store.posted(home.kitchen_id) if "-press@" in p.uid)
    home.store.put_posted(home.kitchen_id, replace(held, body=was.decode(), fingerprint="another"))
    home.store.sync_again(home.kitchen_id)
    publish_all(home.store, tools, home.now)
    rings = {
        f"{e.dtstart.value + one.trigger.value:%H:%M}": e.summary.value
        for e in odd.events().values()
        for one in e.valarm_list
        if "ress" in e.summary.value
    }
    assert rings == {
        "16:00": "Home by 17:50 at the latest: press into the oiled tray (planned 16:35)",
        "16:30": "Press into the oiled tray",
    }
    home.moved(plan, 600)
    publish_all(home.store, tools, home.now)
    assert len(odd.held) == 6
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert odd.held == {}
