"""One event that a calendar's server cannot deal with, or a few: the others follow the bake all the same. A server that
is down as a whole is not asked about every event."""

from __future__ import annotations

import pytest

from tests.home import Home
from tests.reminders.caldav.connected import publish_all, state
from tests.reminders.caldav.odd_server import OddServer
from webapp.core.plan.plan import Plan
from webapp.reminders.caldav import account
from webapp.reminders.caldav.client import CalendarServer
from webapp.reminders.wire import Reply

Answer = tuple[int, dict[str, str], bytes]
NO_CALENDAR: Answer = (200, {"Content-Type": "text/calendar"}, b"")
HOUR = 3600


def starts(odd: OddServer) -> dict[str, int]:
    return {step: int(event.dtstart.value.timestamp()) for step, event in odd.events().items()}


def breaks(odd: OddServer, answer: Answer, verbs: tuple[str, ...], *steps: str) -> None:
    answers = odd.answers

    def broken(verb: str, path: str, headers: object, body: bytes) -> Answer:
        hit = verb in verbs and path.endswith(tuple(f"-{step}.ics" for step in steps))
        return answer if hit else answers(verb, path, headers, body)

    odd.answers = broken  # type: ignore[method-assign]


def all_but(before: dict[str, int], by_s: int, *steps: str) -> dict[str, int]:
    return {step: start + (0 if step in steps else by_s) for step, start in before.items()}


@pytest.mark.parametrize(
    ("answer", "verbs"),
    [
        ((500, {}, b"broken"), ("GET",)),
        ((503, {}, b""), ("GET",)),
        (NO_CALENDAR, ("GET",)),
        ((502, {}, b""), ("PUT", "DELETE")),
    ],
)
def test_one_event_in_trouble_keeps_no_other_step_from_moving_and_is_named_and_tried_again(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, answer: Answer, verbs: tuple[str, ...]
) -> None:
    before, answers = starts(odd), odd.answers
    first = plan.steps[0].step_id
    breaks(odd, answer, verbs, first)
    home.moved(plan, HOUR)
    publish_all(home.store, tools, home.now)
    assert starts(odd) == all_but(before, HOUR, first)
    assert f"All is up to date there but “{plan.steps[0].title}”. The calendar server" in state(home).problem
    assert state(home).next_try == home.now + 60, "as after any trouble that may pass"
    home.now = state(home).next_try
    publish_all(home.store, tools, home.now)
    assert f"but “{plan.steps[0].title}”." in state(home).problem, "when it alone is left to be tried, too"
    odd.answers = answers  # type: ignore[method-assign]
    home.now = state(home).next_try
    publish_all(home.store, tools, home.now)
    assert (starts(odd), state(home).problem) == (all_but(before, HOUR), "")


def test_a_bake_that_is_given_up_rings_for_nothing_but_the_event_that_the_server_cannot_read(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    first = plan.steps[0].step_id
    breaks(odd, (500, {}, b""), ("GET",), first)
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert set(starts(odd)) == {first}


def test_three_events_at_the_head_of_a_round_that_are_in_trouble_keep_the_others_out_for_one_round_only(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    before, head = starts(odd), tuple(step.step_id for step in plan.steps[:3])
    breaks(odd, (500, {}, b""), ("GET",), *head)
    home.moved(plan, HOUR)
    for _ in range(2):
        publish_all(home.store, tools, home.now)
        home.now = state(home).next_try
    assert starts(odd) == all_but(before, HOUR, *head)


def test_an_answer_that_nobody_thought_of_about_one_event_keeps_no_other_out(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, first, asks = starts(odd), plan.steps[0].step_id, CalendarServer.ask

    def ask(self: CalendarServer, verb: str, url: str, headers: dict[str, str], body: bytes) -> Reply:
        if url.endswith(f"-{first}.ics"):
            raise LookupError("an answer nobody thought of")
        return asks(self, verb, url, headers, body)

    monkeypatch.setattr(CalendarServer, "ask", ask)
    home.moved(plan, HOUR)
    publish_all(home.store, tools, home.now)
    assert starts(odd) == all_but(before, HOUR, first)
    assert "cannot be understood" in state(home).problem


@pytest.mark.parametrize(("status", "most"), [(503, 3), (500, 3), (429, 1)])
def test_a_server_in_trouble_with_every_event_is_let_be_soon(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, status: int, most: int
) -> None:
    breaks(odd, (status, {}, b""), ("GET", "PUT", "DELETE"), *(step.step_id for step in plan.steps))
    home.moved(plan, HOUR)
    odd.asked.clear()
    publish_all(home.store, tools, home.now)
    assert sum(path.endswith(".ics") for _, path, _ in odd.asked) == most
    assert state(home).problem == f"The calendar server is in trouble (it says {status})."


def test_a_server_that_answers_nothing_is_asked_about_two_events_and_no_more(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked, pin = [], tools.guard.pin

    def unanswered(url: str) -> object:
        if url.endswith(".ics"):
            asked.append(url)
            raise OSError("no route")
        return pin(url)

    monkeypatch.setattr(type(tools.guard), "pin", lambda _, url: unanswered(url))
    home.moved(plan, HOUR)
    publish_all(home.store, tools, home.now)
    assert (len(asked), state(home).problem) == (2, "The calendar server does not answer.")
