"""Leaving a calendar: every event is tried, what is not out at once goes on in the background, what stays is said."""

from __future__ import annotations

import pytest

from tests.home import Home
from tests.reminders.caldav.connected import connect, publish_all, state
from tests.reminders.caldav.odd_server import OddServer
from tests.samples import at
from webapp.core.errors import PlanError
from webapp.core.plan.plan import Plan
from webapp.kitchens import bakes
from webapp.reminders.caldav import account, leaving, taking_out
from webapp.reminders.events import KEEP_S
from webapp.store.ids import NotHere

DAY_S = 86400


def leave(home: Home, tools: account.Tools) -> leaving.Leaving | None:
    return leaving.disconnect(home.store, tools, home.now, home.kitchen_id)


def goes_on(home: Home, tools: account.Tools) -> leaving.Leaving | None:
    """A round over what is being left, and how that stands then."""
    for left_id in leaving.to_go_on(home.store, home.now):
        leaving.go_on_safely(home.store, tools, home.now, int(left_id))
    found = leaving.leavings(home.store, home.now, home.kitchen_id)
    return found[0] if found else None


def logins(home: Home) -> list[str]:
    """Every sealed login of a calendar that the file on the disk holds."""
    with home.store.reading() as db:
        rows = db.exec_driver_sql("SELECT login FROM caldav_accounts UNION ALL SELECT login FROM left_calendars")
        return [row[0] for row in rows if row[0]]


@pytest.mark.parametrize(("status", "why"), [(403, "does not allow"), (503, "it says 503"), (404, "no calendar")])
def test_one_event_that_cannot_be_taken_out_keeps_no_other_in_and_is_named_and_tried_again(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, status: int, why: str
) -> None:
    answers = odd.answers
    path = odd.path_of("press")

    def refuses(verb: str, asked: str, headers: object, body: bytes) -> tuple[int, dict[str, str], bytes]:
        trouble = asked == path or (status == 404 and verb == "PROPFIND")
        return (status, {}, b"") if trouble else answers(verb, asked, headers, body)

    odd.answers = refuses  # type: ignore[method-assign]
    left = leave(home, tools)
    assert left
    assert list(odd.held) == [path]
    assert len(left.titles) == 1
    assert left.titles[0].startswith("Press")
    assert why in left.why
    assert home.store.account(home.kitchen_id) is None, "nothing is written there any more"
    odd.answers = answers  # type: ignore[method-assign]
    home.now += 600
    assert goes_on(home, tools) is None
    assert (odd.held, logins(home)) == ({}, [])


@pytest.mark.parametrize("way", ["given up", "forgotten", "disconnected"])
def test_where_nothing_may_be_deleted_events_are_called_off_and_ring_no_more(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, way: str
) -> None:
    """A server may allow PUT and not DELETE (RFC 3744 3.2 and 3.10: write-content and unbind are two privileges)."""
    odd.lets_delete = False
    if way == "given up":
        home.drop(plan)
    elif way == "forgotten":
        bakes.forget(home.store, home.now, home.kitchen_id, plan.bake_id)
    if way == "disconnected":
        assert leave(home, tools) is None
        assert logins(home) == []
    else:
        publish_all(home.store, tools, home.now)
        assert state(home).problem == ""
        assert leaving.still_there(home.store, home.kitchen_id, home.now) == []
    assert len(odd.held) == len(plan.steps)
    assert {e.status.value for e in odd.events().values()} == {"CANCELLED"}
    assert not any(b"VALARM" in body for body in odd.held.values())
    if way == "given up":
        home.plan(plan)
        publish_all(home.store, tools, home.now)
        assert {e.status.value for e in odd.events().values()} == {"CONFIRMED"}, "and rings again when it is wanted"
        assert all(b"VALARM" in body for body in odd.held.values())


def test_a_second_event_that_nobody_may_delete_is_called_off_once_and_not_written_with_every_round(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    odd.lets_delete, odd.tells_names = False, True
    odd.write("/kitchen/second.ics", odd.held[odd.path_of("press")])
    for _ in range(3):
        home.store.sync_again(home.kitchen_id)
        publish_all(home.store, tools, home.now)
    assert b"VALARM" not in odd.held["/kitchen/second.ics"]
    assert [verb for verb, path, _ in odd.asked if path == "/kitchen/second.ics"].count("PUT") == 1


def test_a_server_that_takes_nothing_at_all_is_said_to_allow_no_writing(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    answers = odd.answers

    def reads_only(verb: str, asked: str, headers: object, body: bytes) -> tuple[int, dict[str, str], bytes]:
        return (403, {}, b"") if verb in ("PUT", "DELETE") else answers(verb, asked, headers, body)

    odd.answers = reads_only  # type: ignore[method-assign]
    left = leave(home, tools)
    assert left
    assert len(left.titles) == len(odd.held)
    assert "does not allow writing" in left.why


def test_a_server_that_takes_longer_than_a_person_waits_is_left_in_the_background_and_the_login_is_kept_until_then(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    answers, many = odd.answers, [0]

    def tires(verb: str, asked: str, headers: object, body: bytes) -> tuple[int, dict[str, str], bytes]:
        many[0] += 1
        return answers(verb, asked, headers, body) if many[0] % 5 else (503, {}, b"")

    odd.answers = tires  # type: ignore[method-assign]
    before = len(odd.held)
    left = leave(home, tools)
    assert left
    assert 0 < len(left.titles) < before
    assert left.until == home.now + DAY_S
    assert len(logins(home)) == 1
    for _ in range(20):
        home.now += 600
        left = goes_on(home, tools)
        if left is None:
            break
    assert (odd.held, logins(home), left) == ({}, [], None)


def test_after_a_day_the_login_is_forgotten_and_what_stays_is_named_until_the_person_has_seen_it(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    connect(home, tools, odd.url)
    home.moved(home.plan(), 3 * DAY_S)
    publish_all(home.store, tools, home.now)
    odd.status = 503
    left = leave(home, tools)
    assert left
    assert left.until == home.now + DAY_S
    many = len(left.titles)
    assert many == len(odd.held)
    ends = left.until
    while home.now < ends:
        assert len(logins(home)) == 1
        row = home.store.left_calendar(left.left_id)
        assert row
        home.now = max(row.next_try, home.now + 1)
        left = goes_on(home, tools) or left
    assert home.now == ends
    assert logins(home) == []
    assert left.until == 0
    assert left.said.startswith(f"{many} events stay in the calendar and may ring: “")
    assert "it says 503" in left.said
    assert leaving.to_go_on(home.store, home.now + 9999) == ()
    leaving.forget_login(home.store, home.kitchen_id, left.left_id)
    assert leaving.leavings(home.store, home.now, home.kitchen_id) == ()


def test_the_login_can_be_forgotten_at_once_by_its_own_kitchen_only(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    odd.status = 503
    left = leave(home, tools)
    assert left
    with pytest.raises(NotHere):
        leaving.forget_login(home.store, "z" * 22, left.left_id)
    assert len(logins(home)) == 1
    leaving.forget_login(home.store, home.kitchen_id, left.left_id)
    assert logins(home) == []
    asked = len(odd.asked)
    after = goes_on(home, tools)
    assert after
    assert (len(odd.asked), after.until, after.titles) == (asked, 0, left.titles)


def test_a_calendar_that_is_connected_again_is_left_no_more_and_its_events_are_known(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    before = {p.uid: p for p in home.store.posted(home.kitchen_id)}
    odd.status = 503
    assert leave(home, tools)
    odd.status = 0
    connect(home, tools, odd.url)
    assert {p.uid: p for p in home.store.posted(home.kitchen_id)} == before
    home.now += 600
    assert goes_on(home, tools) is None
    publish_all(home.store, tools, home.now)
    assert len(odd.held) == len(before)
    assert not any(verb == "DELETE" for verb, _, _ in odd.asked)


def test_a_refused_password_is_said_as_such_not_tried_with_every_event_and_tried_again_in_a_while(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    """A server that is being mended may refuse for a moment what it takes before and after."""
    odd.status = 401
    odd.asked.clear()
    left = leave(home, tools)
    assert left
    assert len(left.titles) == len(odd.held)
    assert "does not accept this user name and password" in left.why
    assert len(odd.asked) == 1
    assert (left.until, len(logins(home))) == (home.now + DAY_S, 1)
    assert goes_on(home, tools) == left, "who knocks too often is shut out"
    assert len(odd.asked) == 1
    odd.status = 0
    home.now += 300
    assert goes_on(home, tools) is None
    assert (odd.held, logins(home)) == ({}, [])


def test_a_password_that_stays_refused_is_forgotten_after_a_day(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    connect(home, tools, odd.url)
    home.moved(home.plan(), 3 * DAY_S)
    publish_all(home.store, tools, home.now)
    odd.status = 401
    odd.asked.clear()
    left = leave(home, tools)
    assert left
    for _ in range(25):
        home.now += 3600
        left = goes_on(home, tools)
    assert left
    assert "does not accept this user name and password" in left.said
    assert (left.until, logins(home)) == (0, [])
    assert len(odd.asked) < 30, "an hour between two tries"


def test_an_answer_nobody_thought_of_keeps_no_other_event_in(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    clear = leaving.clear

    def odd_once(*rest: object) -> None:
        if rest[2].uid.endswith("-press@suppertide"):  # type: ignore[attr-defined]
            raise LookupError("an answer nobody thought of")
        clear(*rest)  # type: ignore[arg-type]

    monkeypatch.setattr(leaving, "clear", odd_once)
    left = leave(home, tools)
    assert left
    assert (len(left.titles), len(odd.held)) == (1, 1)
    assert "cannot be understood" in left.said


def test_our_own_lines_being_engaged_is_no_fault_of_the_server_and_it_goes_on_once_one_is_free(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(leaving, "_PATIENCE_S", 0.0)
    assert tools.lines.acquire(blocking=False)
    assert tools.lines.acquire(blocking=False)
    left = leave(home, tools)
    assert left
    assert "This server is busy" in left.why
    tools.lines.release()
    home.now += 600
    assert goes_on(home, tools) is None
    assert odd.held == {}
    tools.lines.release()


def later_by_hand(odd: OddServer, step_id: str, at: str) -> None:
    """A snooze as RFC 9074 section 7 has it: the alarm that rang is acknowledged, another stands beside it."""
    odd.rewrite(
        step_id,
        "END:VALARM",
        "UID:a-1\r\nACKNOWLEDGED:20261125T070600Z\r\nEND:VALARM\r\nBEGIN:VALARM\r\nUID:a-2\r\nACTION:DISPLAY\r\n"
        f"DESCRIPTION:x\r\nTRIGGER;VALUE=DATE-TIME:{at}\r\nRELATED-TO;RELTYPE=SNOOZE:a-1\r\nEND:VALARM",
    )


@pytest.mark.parametrize("way", ["given up", "forgotten", "disconnected"])
def test_a_ring_that_was_put_off_beyond_its_step_rings_no_more_when_all_is_off(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, way: str
) -> None:
    """Mixing was from 7:15 to 7:30 and rang at 7:05; it was put off to 8:15, and at 7:45 nobody wants it any more."""
    later_by_hand(odd, "mix", "20261125T081500Z")
    home.now = at(7, 45)
    if way == "given up":
        home.drop(plan)
        publish_all(home.store, tools, home.now)
    elif way == "forgotten":
        bakes.forget(home.store, home.now, home.kitchen_id, plan.bake_id)
        publish_all(home.store, tools, home.now)
    else:
        assert leave(home, tools) is None
    assert [path for path in odd.held if "mix" not in path] == []
    (record,) = odd.held.values()
    assert b"VALARM" not in record
    assert b"SUMMARY:Mix the dough" in record, "what is over stays as a record"


def test_what_is_over_and_rings_no_more_is_not_written(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    path, home.now = odd.path_of("mix"), at(8)
    record = odd.held[path]
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert odd.held == {path: record}


def test_rings_put_off_are_looked_for_as_long_as_bakes_stay_in_calendars() -> None:
    assert taking_out.PUT_OFF_S == KEEP_S


def test_a_new_password_for_the_same_calendar_forgets_no_event(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    home.store.alarms_seen(home.kitchen_id, "lost")
    before, known = home.store.posted(home.kitchen_id), home.store.account(home.kitchen_id)
    assert account.user_name(home.store, tools, home.kitchen_id) == "u"
    account.sign_in_again(home.store, tools, home.now, home.kitchen_id, account.Login("u", "new"))
    assert home.store.posted(home.kitchen_id) == before
    found = home.store.account(home.kitchen_id)
    assert found
    assert known
    assert (found.alarms, found.good_at) == ("lost", known.good_at), "what was found of the calendar stays known"
    odd.status = 401
    with pytest.raises(PlanError) as caught:
        account.sign_in_again(home.store, tools, home.now, home.kitchen_id, account.Login("u", "wrong"))
    assert caught.value.problems[0].field == "password"
