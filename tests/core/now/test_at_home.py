"""Ways are for when somebody is there: what falls into an absence, a night or a call is put off until it is over."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.now.saying import constant_room, done, hour, said
from tests.samples import sample_plan
from webapp.core.kinds import BusyKind
from webapp.core.now.journal import fold
from webapp.core.now.loss import loss_of
from webapp.core.now.retime import retime
from webapp.core.now.taken import event_data
from webapp.core.now.ways import ways
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Busy, Plan
from webapp.core.plan.way import Way

PLAN = constant_room(sample_plan(), 21.0)  # mixed at 07:30, pressed 16:45, loaded 18:55; somebody away 08:00 to 16:30


def away(*spans: tuple[float, float]) -> Plan:
    """The same with other absences, hours of the day."""
    return replace(PLAN, busy=tuple(Busy(hour(start), hour(end), "away") for start, end in spans))


def starts_away(plan: Plan, events: list[Event], way: Way, now: int) -> list[str]:
    """Steps from pressing on that begin in an absence once this way is taken; what is done this minute is none."""
    said_so = Event("e" * 32, plan.bake_id, now, now, "p", "way", event_data(way, True))
    after = retime(plan, fold(plan, [*events, said_so]), now).steps
    return [
        step.step_id
        for step, one in zip(plan.steps, after, strict=True)
        if step.presence != "none" and one.status == "open" and one.start > now and one.start >= way.press_at
        if any(busy.kind == "away" and busy.start <= one.start < busy.end for busy in plan.busy)
    ]


def test_a_dough_mixed_the_evening_before_is_kept_cold_until_its_planned_mixing() -> None:
    """Eleven hours early: out of the fridge at 07:30 it rises as planned, and everybody is at home for its pressing."""
    cold = replace(PLAN, rise=replace(PLAN.rise, fridge_c=2.0))  # in a warmer one this quick dough is past by then
    first = ways(cold, fold(cold, [done("mix", -3.5)]), hour(-3.5))[0]
    assert first.kind == "fridge"
    assert first.ratio > 0.7, "not a young dough"
    assert first.late_s <= 1800
    assert [(move.at, move.place) for move in first.moves] == [(hour(-3.5), "fridge"), (hour(7.5), "bench")]
    assert first.press_at >= hour(16.5)


def test_pressing_in_an_absence_is_put_off_until_the_coming_home() -> None:
    plan = away((15, 17.25))
    events = [done("mix", 7.5), said("glass", 14.4, times=2.2)]
    others = [way for way in ways(plan, fold(plan, events), hour(14.5)) if way.kind != "as-planned"]
    assert others
    assert all(way.press_at == hour(14.5) or way.press_at >= hour(17.25) for way in others)


def test_loading_in_an_absence_is_put_off_until_the_coming_home() -> None:
    plan = away((18, 20))
    found = ways(plan, fold(plan, [done("mix", 7.5), done("press", 16.9)]), hour(17))
    assert all(way.load_at < hour(18) or way.load_at >= hour(20) for way in found if way.kind != "as-planned")


def test_out_of_the_fridge_in_an_absence_is_when_they_come_home_or_when_it_is_pressed() -> None:
    for until in (16.5, 16.75, 17.0):
        plan = away((7, until))
        found = ways(plan, fold(plan, [done("mix", -3.5)]), hour(-3.5))
        outs = [move.at for way in found if way.kind == "fridge" for move in way.carried if move.place == "bench"]
        assert all(out >= hour(until) for out in outs)
        assert all(way.press_at >= hour(until) for way in found if way.kind == "fridge")


def test_where_nobody_is_ever_at_home_only_going_on_is_left() -> None:
    plan = away(*((8 + i / 4, 8 + (i + 1) / 4) for i in range(400)))
    found = ways(plan, fold(plan, [done("mix", 7.5)]), hour(7.6))
    assert [way.kind for way in found] == ["as-planned"]


def taken_up(kind: BusyKind, start: float, end: float) -> Plan:
    """The same with one stretch of the evening taken up so, hours of the day."""
    return replace(PLAN, busy=(Busy(hour(start), hour(end), kind),))


def times_of(plan: Plan, way: Way, now: int, events: list[Event]) -> dict[str, tuple[int, int]]:
    """Start and end of every step once this way is taken."""
    said_so = Event("e" * 32, plan.bake_id, now, now, "p", "way", event_data(way, True))
    after = retime(plan, fold(plan, [*events, said_so]), now).steps
    return {one.step_id: (one.start, one.end) for one in after}


PRESSED = [done("mix", 7.5), done("press", 16.9)]  # topped 18:45-18:53, loaded 18:55, lifted 19:15-19:17, eaten 19:30


@pytest.mark.parametrize("kind", ["away", "asleep", "busy"])
def test_hands_are_asked_of_nobody_who_is_out_asleep_or_on_the_telephone(kind: BusyKind) -> None:
    """Topping, loading, lifting: no part of any of them between 18:40 and 19:20, whatever keeps the hands then."""
    plan = taken_up(kind, 18.6666666, 19.3333333)
    others = [way for way in ways(plan, fold(plan, PRESSED), hour(17)) if way.kind != "as-planned"]
    assert others
    for way in others:
        times = times_of(plan, way, hour(17), PRESSED)
        for step in ("top", "load", "lift"):
            start, end = times[step]
            assert end <= hour(18.6666666) or start >= hour(19.3333333) - 1, (way.kind, step)


def test_a_call_hinders_nobody_from_lighting_the_oven_from_looking_at_it_or_from_eating() -> None:
    """Lit 18:10, looked at 19:10, eaten 19:30: in a call at each of these, and going on as planned stands first."""
    for start, end in ((18.1, 18.4), (19.1, 19.24), (19.45, 20.5)):
        plan = taken_up("busy", start, end)
        first = ways(plan, fold(plan, PRESSED), hour(17))[0]
        assert (first.kind, first.late_s) == ("as-planned", 0)
        gone = ways(replace(plan, busy=(replace(plan.busy[0], kind="away"),)), fold(plan, PRESSED), hour(17))[0]
        assert gone.kind != "as-planned"


def test_the_oven_is_never_lit_for_an_empty_house() -> None:
    """Out for a quarter of an hour while it heats, between two steps: the whole bake comes after it, or before."""
    plan = taken_up("away", 18.3, 18.55)
    for way in ways(plan, fold(plan, PRESSED), hour(17)):
        times = times_of(plan, way, hour(17), PRESSED)
        if way.kind != "as-planned":
            assert times["lift"][1] <= hour(18.3) or times["preheat"][0] >= hour(18.55) - 1


def test_going_on_as_planned_stands_last_where_nobody_is_there_for_one_of_its_steps() -> None:
    """By the table: 9 more than the same dough with somebody there, more than any other way can lose."""
    free = ways(replace(PLAN, busy=()), fold(PLAN, PRESSED), hour(17))
    plan = taken_up("busy", 18.9, 19.0)
    found = ways(plan, fold(plan, PRESSED), hour(17))
    assert free[0].kind == found[-1].kind == "as-planned"
    assert found[-1].loss == pytest.approx(free[0].loss + 9.0)
    assert loss_of("nobody") == 9.0
    assert found[0].load_at >= hour(19) or found[0].load_at < hour(18.9)


def test_where_another_is_free_nobody_is_waited_for() -> None:
    """The first person sleeps or is out all evening; by the plan there is always somebody with free hands."""
    spans = (Busy(hour(15), hour(18), "away"), Busy(hour(18), hour(30), "asleep"))
    shared = replace(PLAN, busy=spans, nobody=())
    assert ways(shared, fold(shared, PRESSED), hour(17))[0].kind == "as-planned"
    alone = replace(PLAN, busy=spans)
    assert [way.kind for way in ways(alone, fold(alone, PRESSED), hour(17))] == ["as-planned"]


@pytest.mark.many_cases
@settings(max_examples=25, deadline=None)
@given(st.floats(1, 14), st.floats(8, 15), st.floats(0.5, 9), st.floats(16, 27))
def test_nobody_is_asked_for_hands_while_all_are_away(early: float, leaves: float, gone: float, room_c: float) -> None:
    plan = constant_room(away((leaves, leaves + gone)), room_c)
    now = hour(7.5 - early)
    events = [done("mix", 7.5 - early)]
    found = ways(plan, fold(plan, events), now)
    assert found
    for way in (way for way in found if way.kind != "as-planned"):
        assert starts_away(plan, events, way, now) == []
        carried = [move.at for move in way.carried if move.at > now]
        assert not any(busy.start <= at < busy.end for at in carried for busy in plan.busy)
