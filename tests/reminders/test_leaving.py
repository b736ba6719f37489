"""Leaving a calendar: every event is tried, and what stays is said with why."""

from __future__ import annotations

import pytest

from tests.home import Home
from tests.reminders.odd_server import OddServer
from webapp.core.errors import PlanError
from webapp.core.plan.plan import Plan
from webapp.reminders.caldav import account, leaving


@pytest.mark.parametrize(("status", "why"), [(403, "does not allow"), (503, "it says 503"), (404, "no calendar")])
def test_one_event_that_cannot_be_taken_out_keeps_no_other_in_and_is_named(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, status: int, why: str
) -> None:
    answers = odd.answers
    path = odd.path_of("press")

    def refuses(verb: str, asked: str, headers: object, body: bytes) -> tuple[int, dict[str, str], bytes]:
        trouble = asked == path or (status == 404 and verb == "PROPFIND")
        return (status, {}, b"") if trouble else answers(verb, asked, headers, body)

    odd.answers = refuses  # type: ignore[method-assign]
    left = leaving.disconnect(home.store, tools, home.now, home.kitchen_id)
    assert list(odd.held) == [path]
    assert len(left.titles) == 1
    assert left.said.startswith("1 event stays in the calendar and may ring: “")
    assert left.titles[0].startswith("Press")
    assert why in left.said
    assert home.store.account(home.kitchen_id) is None


def test_a_refused_password_is_said_as_such_and_not_tried_with_every_event(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    odd.status = 401
    odd.asked.clear()
    left = leaving.disconnect(home.store, tools, home.now, home.kitchen_id)
    assert len(left.titles) == len(odd.held)
    assert "does not accept this user name and password" in left.said
    assert len(odd.asked) == 1


def test_an_answer_nobody_thought_of_keeps_no_other_event_in(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    take_out = leaving.take_out

    def odd_once(*rest: object) -> None:
        if rest[3].uid.endswith("-press@suppertide"):  # type: ignore[attr-defined]
            raise LookupError("an answer nobody thought of")
        take_out(*rest)  # type: ignore[arg-type]

    monkeypatch.setattr(leaving, "take_out", odd_once)
    left = leaving.disconnect(home.store, tools, home.now, home.kitchen_id)
    assert (len(left.titles), len(odd.held)) == (1, 1)
    assert "cannot be understood" in left.said


def test_our_own_lines_being_engaged_is_no_fault_of_the_server_and_changes_nothing(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(leaving, "_PATIENCE_S", 0.0)
    held = dict(odd.held)
    assert tools.lines.acquire(blocking=False)
    assert tools.lines.acquire(blocking=False)
    with pytest.raises(PlanError) as caught:
        leaving.disconnect(home.store, tools, home.now, home.kitchen_id)
    assert "This server is busy" in caught.value.problems[0].message
    assert home.store.account(home.kitchen_id)
    tools.lines.release()
    assert leaving.disconnect(home.store, tools, home.now, home.kitchen_id).said == ""
    assert (bool(held), odd.held) == (True, {})
    tools.lines.release()


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
