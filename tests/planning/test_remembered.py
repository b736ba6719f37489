"""A planner that remembers, of a day or a week, asks the one behind it once for each question, and gives its answer."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from tests.planning.test_full_plan import SHELF
from tests.samples import at, sample_plan
from webapp.core.day.span import Span
from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import line_ahead
from webapp.core.planner.offer import Answer
from webapp.core.planner.propose import Evening
from webapp.planning.question import NOTHING_BOOKED, Booked, Stock
from webapp.planning.remembered import Remembered, RememberedWeek

KITCHEN = Kitchen(zone="Europe/Lisbon")
WISH = Wish("2026-11-25T19:30", KITCHEN.pans[:1], "bench-tray")


class Counting:
    """Plans what it is told to, and keeps what it was asked."""

    def __init__(self, refuses: bool = False) -> None:
        self.asked: list[tuple[Wish, int]] = []
        self.refuses = refuses

    def __call__(
        self, wish: Wish, kitchen: Kitchen, now: int, bake_id: str, stock: Stock, busy: Booked = NOTHING_BOOKED
    ) -> tuple[Plan, ...]:
        self.asked.append((wish, now))
        if self.refuses:
            raise PlanError.at("when", "refused")
        return (replace(sample_plan(bake_id), made_at=now),)


@pytest.mark.parametrize(("now", "line"), [(0, 0), (1, 300), (300, 300), (301, 600)])
def test_the_line_ahead_is_the_next_of_the_planner_s_own_grid(now: int, line: int) -> None:
    assert line_ahead(now) == line


def test_within_five_minutes_the_planner_is_asked_once_and_everybody_gets_their_own_bake() -> None:
    behind = Counting()
    remembered = Remembered(behind)
    ids = [remembered(WISH, KITCHEN, at(6, 51) + 20 * i, f"bake-{i}", SHELF)[0].bake_id for i in range(5)]
    assert ids == [f"bake-{i}" for i in range(5)]
    assert behind.asked == [(WISH, at(6, 55))]


def test_another_quarter_of_an_hour_another_wish_kitchen_or_calendar_is_another_question() -> None:
    behind = Counting()
    remembered = Remembered(behind)
    remembered(WISH, KITCHEN, at(6, 51), "", SHELF)
    remembered(WISH, KITCHEN, at(7, 6), "", SHELF)
    remembered(replace(WISH, room_c=26.0), KITCHEN, at(6, 51), "", SHELF)
    remembered(WISH, replace(KITCHEN, fridge_c=4.0), at(6, 51), "", SHELF)
    remembered(WISH, KITCHEN, at(6, 51), "", SHELF, Booked(((Span(at(9), at(10)),),)))
    remembered(WISH, KITCHEN, at(6, 51), "", SHELF, Booked(oven=(Span(at(9), at(10)),)))
    remembered(WISH, KITCHEN, at(6, 51), "", SimpleNamespace(**{**vars(SHELF), "methods": {}}))
    assert len(behind.asked) == 7


def test_a_refusal_is_remembered_and_raised_again() -> None:
    behind = Counting(refuses=True)
    remembered = Remembered(behind)
    for _ in range(2):
        with pytest.raises(PlanError, match="when: refused"):
            remembered(WISH, KITCHEN, at(6, 51), "", SHELF)
    assert len(behind.asked) == 1


def test_what_was_asked_for_longest_ago_is_forgotten_first() -> None:
    behind = Counting()
    remembered = Remembered(behind, most=2)
    one, two, three = (replace(WISH, room_c=room) for room in (20.0, 21.0, 22.0))
    for wish in (one, two, one, three, one, two):
        remembered(wish, KITCHEN, at(6, 51), "", SHELF)
    assert [wish for wish, _ in behind.asked] == [one, two, three, two]


class Slow(Counting):
    """Thinks until it is told to go on; then it fails as often as it is told to."""

    def __init__(self, fails: int = 0) -> None:
        super().__init__()
        self.thinks, self.may_go_on, self.fails = threading.Event(), threading.Event(), fails

    def __call__(self, *question: Any) -> tuple[Plan, ...]:
        self.thinks.set()
        assert self.may_go_on.wait(30)
        plans = super().__call__(*question)
        if len(self.asked) <= self.fails:
            raise MemoryError
        return plans


def asked_at_once(remembered: Remembered, behind: Slow, wishes: Sequence[Wish]) -> list[Future[tuple[Plan, ...]]]:
    """Each from a thread of its own; the planner goes on when all of them have asked."""
    asking = threading.Barrier(len(wishes) + 1)

    def one(wish: Wish) -> tuple[Plan, ...]:
        asking.wait(30)
        return remembered(wish, KITCHEN, at(6, 51), "", SHELF)

    with ThreadPoolExecutor(len(wishes)) as threads:
        said = [threads.submit(one, wish) for wish in wishes]
        asking.wait(30)
        assert behind.thinks.wait(30)
        behind.may_go_on.set()
    return said


def test_a_crowd_that_asks_the_same_at_once_has_it_worked_out_once() -> None:
    behind = Slow()
    said = asked_at_once(Remembered(behind), behind, [WISH] * 8)
    assert len({one.result() for one in said}) == 1
    assert len(behind.asked) == 1


def test_who_asks_something_else_waits_for_nobody() -> None:
    behind, other = Slow(), replace(WISH, room_c=26.0)
    remembered = Remembered(lambda wish, *rest: behind(wish, *rest) if wish == WISH else Counting()(wish, *rest))
    with ThreadPoolExecutor(1) as thread:
        slow = thread.submit(remembered, WISH, KITCHEN, at(6, 51), "", SHELF)
        assert behind.thinks.wait(30)
        assert remembered(other, KITCHEN, at(6, 51), "", SHELF)
        assert not slow.done()
        behind.may_go_on.set()


def test_what_broke_for_one_who_asked_is_worked_out_for_the_next() -> None:
    behind = Slow(fails=1)
    said = asked_at_once(Remembered(behind), behind, [WISH] * 3)
    assert sorted(one.exception() is None for one in said) == [False, True, True]
    assert len(behind.asked) == 2


class CountingWeek:
    """Has bread on no evening, and keeps when it was asked."""

    def __init__(self, refuses: bool = False) -> None:
        self.asked: list[int] = []
        self.refuses = refuses

    def __call__(
        self, wish: Wish, kitchen: Kitchen, now: int, suppers: tuple[int, ...], stock: Stock, busy: Booked
    ) -> tuple[Evening, ...]:
        self.asked.append(now)
        if self.refuses:
            raise PlanError.at("when", "refused")
        return tuple(Evening(one, Answer(())) for one in suppers)


def test_a_week_is_planned_once_within_five_minutes_and_anew_for_whatever_its_answer_depends_on() -> None:
    behind = CountingWeek()
    weeks = RememberedWeek(behind)
    evenings = (at(19, 30), at(43, 30))
    for seconds in (0, 40, 240):
        found = weeks(WISH, KITCHEN, at(6, 51) + seconds, evenings, SHELF, NOTHING_BOOKED)
        assert [one.supper for one in found] == list(evenings)
    assert behind.asked == [at(6, 55)]
    weeks(WISH, KITCHEN, at(6, 56), evenings, SHELF, NOTHING_BOOKED)
    weeks(replace(WISH, method_key="same-day"), KITCHEN, at(6, 51), evenings, SHELF, NOTHING_BOOKED)
    weeks(WISH, replace(KITCHEN, fridge_c=4.0), at(6, 51), evenings, SHELF, NOTHING_BOOKED)
    weeks(WISH, KITCHEN, at(6, 51), evenings[:1], SHELF, NOTHING_BOOKED)
    weeks(WISH, KITCHEN, at(6, 51), evenings, SimpleNamespace(**{**vars(SHELF), "formulas": {}}), NOTHING_BOOKED)
    weeks(WISH, KITCHEN, at(6, 51), evenings, SHELF, Booked(((Span(at(9), at(10)),),)))
    weeks(WISH, KITCHEN, at(6, 51), evenings, SHELF, Booked(oven=(Span(at(9), at(10)),)))
    assert len(behind.asked) == 8


def test_a_week_that_cannot_be_asked_for_is_refused_each_time_and_planned_once() -> None:
    behind = CountingWeek(refuses=True)
    weeks = RememberedWeek(behind)
    for _ in range(2):
        with pytest.raises(PlanError, match="when: refused"):
            weeks(WISH, KITCHEN, at(6, 51), (at(19, 30),), SHELF, NOTHING_BOOKED)
    assert len(behind.asked) == 1
