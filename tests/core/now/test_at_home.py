"""Ways are for when somebody is at home: what falls into an absence is put off until they come home."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.now.saying import constant_room, done, hour, said
from tests.samples import sample_plan
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.now.ways import event_data, ways
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
