"""A calendar that is left while another connection writes the same one: what that one has taken up goes on ringing."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace

import pytest

from tests.home import Home
from tests.reminders.caldav.connected import connect, publish_all, state
from tests.reminders.caldav.odd_server import OddServer
from tests.reminders.caldav.test_leaving import goes_on, leave
from webapp.core.plan.plan import Plan
from webapp.reminders import events
from webapp.reminders.caldav import account, look
from webapp.reminders.caldav.adopting import post_new, stand_already
from webapp.reminders.caldav.at_address import LeftMeanwhileError
from webapp.store.calendars import AccountRow


def left_and_taken_up(home: Home, tools: account.Tools, odd: OddServer, url: str) -> None:
    """The calendar is left while its server is down, and connected again at this address before that is through."""
    odd.status = 503
    assert leave(home, tools)
    odd.status = 0
    connect(home, tools, url)
    publish_all(home.store, tools, home.now)
    home.now += 600
    assert goes_on(home, tools) is None


@pytest.mark.parametrize("tells_names", [True, False])
@pytest.mark.parametrize("other", ["address", "kitchen"])
def test_what_another_connection_has_taken_up_is_spared_by_the_one_that_is_left(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, other: str, tells_names: bool
) -> None:
    """The same calendar, by another name of its server (RFC 6761 6.3), or from a kitchen that was taken along."""
    odd.tells_names = tells_names
    many = len(odd.held)
    if other == "address":
        left_and_taken_up(home, tools, odd, odd.url.replace("127.0.0.1", "localhost"))
    else:
        taken_up_elsewhere(home, tools, odd)
        assert leave(home, tools) is None
    assert len(odd.held) == many
    assert all(body.count(b"BEGIN:VALARM") == 1 for body in odd.held.values())
    if other == "address":
        look.look(home.store, tools, home.now, home.kitchen_id)
        assert state(home).left_alone == ()
        home.drop(plan)
        publish_all(home.store, tools, home.now)
        assert odd.held == {}, "given up, all of it goes"


def test_what_is_taken_up_under_another_name_is_spared_too_where_a_server_throws_our_mark_away(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    odd.strips_marks = True
    connect(home, tools, odd.url)
    plan = home.plan()
    publish_all(home.store, tools, home.now)
    left_and_taken_up(home, tools, odd, odd.url.replace("127.0.0.1", "localhost"))
    assert not any(verb == "DELETE" for verb, _, _ in odd.asked)
    assert all(body.count(b"BEGIN:VALARM") == 1 for body in odd.held.values())
    look.look(home.store, tools, home.now, home.kitchen_id)
    assert state(home).left_alone == (), "nobody is said to have taken anything out"
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert odd.held == {}


def test_another_calendar_with_the_same_paths_is_left_without_marks_too(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    """The household moves to another server of the same make, which throws marks away as the former did."""
    moved_to = OddServer()
    try:
        for server in (odd, moved_to):
            server.strips_marks = True
        connect(home, tools, odd.url)
        plan = home.plan()
        publish_all(home.store, tools, home.now)
        left_and_taken_up(home, tools, odd, moved_to.url)
        assert (odd.held, len(moved_to.held)) == ({}, len(plan.steps))
    finally:
        moved_to.stop()


def test_while_the_new_connection_cannot_tell_nothing_is_taken_out_and_it_is_tried_again(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    moved_to = OddServer()
    try:
        odd.strips_marks = moved_to.strips_marks = True
        connect(home, tools, odd.url)
        home.plan()
        publish_all(home.store, tools, home.now)
        odd.status = 503
        assert leave(home, tools)
        odd.status = 0
        connect(home, tools, moved_to.url)
        publish_all(home.store, tools, home.now)
        moved_to.status = 503
        home.now += 600
        assert goes_on(home, tools)
        assert odd.held
        moved_to.status = 0
        home.now += 600
        assert goes_on(home, tools) is None
        assert odd.held == {}
    finally:
        moved_to.stop()


@pytest.mark.parametrize("name", ["127.0.0.1", "localhost"])
def test_whether_alarms_live_is_found_out_from_events_that_stood_there_already(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, name: str
) -> None:
    odd.status = 503
    assert leave(home, tools)
    odd.status = 0
    connect(home, tools, odd.url.replace("127.0.0.1", name))
    publish_all(home.store, tools, home.now)
    assert state(home).alarms == "live"


def taken_up_elsewhere(home: Home, tools: account.Tools, odd: OddServer) -> None:
    """A kitchen of another server, with the same bake, is connected to the same calendar."""
    elsewhere = replace(known(home), kitchen_id="e" * 22)
    with tools.server(account.Login("u", "p")) as server:
        for entry in events.entries(home.store, home.now, home.kitchen_id):
            there = stand_already(server, elsewhere, [entry.start])
            with suppress(LeftMeanwhileError):  # this server's store knows nothing of that kitchen
                post_new(home.store, server, elsewhere, entry, there.get(entry.uid, ()))


def known(home: Home) -> AccountRow:
    row = home.store.account(home.kitchen_id)
    assert row
    return row
