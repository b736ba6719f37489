"""Servers that keep an event under an address of their own, not under the one that it was written to (RFC 9110 10.2.2:
the Location of a 201 is where the new resource is)."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from tests.home import Home
from tests.reminders.caldav.connected import connect, publish_all, stand_once_then_go, starts, state, take_out_tests
from tests.reminders.caldav.odd_server import OddServer
from tests.samples import sample_plan
from webapp.reminders.caldav import account, leaving, publish
from webapp.reminders.caldav.look import look_safely

STEPS = len(sample_plan().steps)


@pytest.fixture(params=["it says where", "it can be asked where", "it lists its addresses"])
def odd_one(odd: OddServer, request: pytest.FixtureRequest) -> OddServer:
    odd.own_addresses = True
    odd.tells_location = request.param == "it says where"
    odd.tells_names = request.param == "it can be asked where"
    return odd


def test_events_follow_and_go_also_where_the_server_chose_their_addresses(
    home: Home, tools: account.Tools, odd_one: OddServer
) -> None:
    plan = home.plan()
    connect(home, tools, odd_one.url)
    publish_all(home.store, tools, home.now)
    assert len(odd_one.held) == STEPS
    plan = home.moved(plan, 3600)
    publish_all(home.store, tools, home.now)
    assert state(home).problem == ""
    stand_once_then_go(home, tools, odd_one, plan)


def test_a_look_does_not_take_an_event_at_another_address_for_one_that_was_taken_out(
    home: Home, tools: account.Tools, odd_one: OddServer
) -> None:
    home.plan()
    connect(home, tools, odd_one.url)
    publish_all(home.store, tools, home.now)
    look_safely(home.store, tools, home.now, home.kitchen_id)
    assert state(home).left_alone == ()


def test_leaving_takes_events_out_of_their_own_addresses(home: Home, tools: account.Tools, odd: OddServer) -> None:
    odd.own_addresses = True
    home.plan()
    connect(home, tools, odd.url)
    publish_all(home.store, tools, home.now)
    assert leaving.disconnect(home.store, tools, home.now, home.kitchen_id) is None
    assert odd.held == {}


def test_a_server_that_names_another_event_than_the_one_asked_for_is_not_believed(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    """Somebody took an event out; the server answers the question where it stands with all that it has."""
    plan = home.plan()
    connect(home, tools, odd.url)
    publish_all(home.store, tools, home.now)
    odd.tells_names = True
    odd.names_all = True
    del odd.held[odd.path_of("press")]
    before = dict(odd.held)
    look_safely(home.store, tools, home.now, home.kitchen_id)
    assert [(one.uid, one.why) for one in state(home).left_alone] == [(f"{plan.bake_id}-press@suppertide", "removed")]
    assert odd.held == before


def test_finding_our_own_events_asks_for_nobody_elses(home: Home, tools: account.Tools, odd: OddServer) -> None:
    odd.tells_names = True
    start = f"{datetime.fromtimestamp(sample_plan().supper, UTC):%Y%m%dT%H%M%SZ}"
    odd.write(
        "/kitchen/theirs.ics",
        b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nUID:theirs\r\nDTSTART:"
        + start.encode()
        + b"\r\nSUMMARY:Secret visit\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
    )
    home.plan()
    connect(home, tools, odd.url)
    publish_all(home.store, tools, home.now)
    assert "REPORT" in [verb for verb, _, _ in odd.asked]
    assert odd.told
    assert "Secret" not in odd.told


def test_an_address_out_of_the_house_is_not_asked(home: Home, tools: account.Tools, odd: OddServer) -> None:
    home.plan()
    connect(home, tools, odd.url)
    odd.own_addresses = True
    answers = odd.answers

    def astray(verb: str, path: str, headers: object, body: bytes) -> tuple[int, dict[str, str], bytes]:
        status, said, reply = answers(verb, path, headers, body)
        return status, said | ({"Location": "https://evil.example/x"} if "Location" in said else {}), reply

    odd.answers = astray  # type: ignore[method-assign]
    publish_all(home.store, tools, home.now)
    assert state(home).problem == ""
    assert all(held.url.startswith(odd.url) for held in home.store.posted(home.kitchen_id))


def test_leaving_at_once_finds_the_events_that_the_server_put_elsewhere_without_a_word(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    """Nobody looked at the calendar between writing and leaving: RFC 4791 7.8 tells where they stand."""
    odd.own_addresses, odd.tells_location, odd.tells_names = True, False, True
    connect(home, tools, odd.url)
    home.plan()
    publish_all(home.store, tools, home.now)
    assert odd.held
    assert leaving.disconnect(home.store, tools, home.now, home.kitchen_id) is None
    assert odd.held == {}


@pytest.fixture
def silent(odd: OddServer) -> OddServer:
    """It keeps events under addresses of its own, and tells them in none of the ways that there are."""
    odd.own_addresses, odd.tells_location, odd.tells_names, odd.lists = True, False, False, False
    return odd


def test_where_no_way_tells_an_address_one_event_is_written_and_named_and_no_other_goes_astray(
    home: Home, tools: account.Tools, silent: OddServer
) -> None:
    plan = home.plan()
    connect(home, tools, silent.url)
    for _ in range(3):
        publish.try_now(home.store, home.kitchen_id)
        publish_all(home.store, tools, home.now)
        look_safely(home.store, tools, home.now, home.kitchen_id)
    (astray,) = state(home).left_alone
    assert (len(silent.held), astray.why) == (1, "astray")
    assert "does not tell" in state(home).problem
    home.moved(plan, 3600)
    publish_all(home.store, tools, home.now)
    assert len(silent.held) == 1
    assert [one.why for one in state(home).left_alone] == ["astray"]
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert "by hand" in state(home).problem, "nobody is told that it is out"
    assert len(leaving.still_there(home.store, home.kitchen_id, home.now, plan.bake_id)) == 1
    left = leaving.disconnect(home.store, tools, home.now, home.kitchen_id)
    assert left
    assert left.titles == (astray.title,)


def test_a_server_that_was_slow_to_show_what_it_took_is_written_on_once_it_does(
    home: Home, tools: account.Tools, silent: OddServer
) -> None:
    plan = home.plan()
    connect(home, tools, silent.url)
    publish_all(home.store, tools, home.now)
    (held,) = home.store.posted(home.kitchen_id)
    silent.own_addresses = False
    (body,) = silent.held.values()
    silent.held = {}
    silent.write("/" + held.url.partition("://")[2].partition("/")[2], body)
    home.now += 1200
    publish_all(home.store, tools, home.now)
    assert (starts(silent), state(home).problem) == (sorted(s.start for s in plan.steps), "")
    assert state(home).left_alone == ()


def test_a_test_ring_is_taken_out_of_an_address_that_only_a_list_tells(
    home: Home, tools: account.Tools, silent: OddServer
) -> None:
    silent.lists = True
    connect(home, tools, silent.url)
    rings = publish.ring_in_calendar(home.store, tools, home.now, home.kitchen_id, home.new_id)
    assert silent.held
    take_out_tests(home.store, tools, rings + 3600)
    assert silent.held == {}


def test_a_list_of_addresses_reads_nobody_elses_event(home: Home, tools: account.Tools, silent: OddServer) -> None:
    silent.lists = True
    silent.write("/kitchen/theirs.ics", b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n")
    home.plan()
    connect(home, tools, silent.url)
    publish_all(home.store, tools, home.now)
    assert len(silent.held) == STEPS + 1
    assert not any(path == "/kitchen/theirs.ics" for _, path, _ in silent.asked)
