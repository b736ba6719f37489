"""What perishes is counted in every way before it is taken: dough with milk, and what lies on a topped tray.

The limit is 2 h out of the fridge, 1 h above 32 C (USDA FSIS, "danger zone" of 40-140 F); every sum is worked by hand
beside its check. A dough with milk keeps to the same (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from tests.core.now.saying import clock, constant_room, done, from_here, hour, said
from tests.core.now.test_dough_out_of_fridge import _milk
from tests.samples import at, sample_plan
from webapp.core.now.fridge_clock import Perishing, perishing_now
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.now.taken import event_data
from webapp.core.now.ways import ways
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import RoomSpan
from webapp.core.plan.state import State
from webapp.core.plan.way import Way
from webapp.core.safety.cautions import is_for_the_bin, out_too_long
from webapp.words.cautions import out_words

M = 60
LIMIT_S = 2 * 3600


def milk() -> Plan:
    """The sample dough with milk in it: mixed 7:00 to 7:15, in the fridge at 7:20; out 18:00, pressed 18:15 to 18:25,
    loaded at 19:00. Out of the fridge 20 min in the morning and 60 in the evening."""
    marks = {step.kind: step.mark for step in sample_plan().steps}
    plan = _milk()
    return replace(plan, steps=tuple(replace(step, mark=marks.get(step.kind)) for step in plan.steps))


TILL_FRIDGE = (done("mix", 7.25),)
TILL_OUT = (*TILL_FRIDGE, done("chill", 7 + 20 / 60), done("temper", 18 + 1 / 60))


def tray() -> Plan:
    """The sample plan, its cheese out of the fridge at 18:25 by a step of its own; topped at 18:45, loaded at 18:55."""
    plan = constant_room(sample_plan(), 21.0)
    top = next(step for step in plan.steps if step.kind == "top")
    out = replace(top, step_id="cheese-out", kind="cheese-out", start=at(18, 20), end=at(18, 25), chain=False,
                  anchor="top", offset_s=-25 * M, wait_least_s=0, wait_most_s=0)  # fmt: skip
    return replace(plan, steps=(*plan.steps[:3], out, *plan.steps[3:]))


TRAY = tray()
PRESSED = (done("mix", 7.5), done("press", 16.9), done("preheat", 18.2), done("cheese-out", 18.5))
TOPPED = (*PRESSED, done("top", 18.9))  # the cheese is out from 18:25, when its step began


# The same tied to the loading, as plans have it, and nobody said that it is out.
UNTICKED = replace(TRAY, steps=tuple(
    replace(one, anchor="load", offset_s=-35 * M) if one.kind == "cheese-out" else one for one in TRAY.steps
))  # fmt: skip
TOPPED_ALONE = [event for event in TOPPED if event.data.get("step_id") != "cheese-out"]


def out_of_fridge_s(plan: Plan, events: Sequence[Event], way: Way, now: int) -> list[int]:
    """What the clock on the screen counts once this way is taken."""
    taken = Event("f" * 32, "b" * 22, now, now, "phone-1", "way", event_data(way, True))
    state = fold(plan, [*events, taken])
    return [one.out.seconds for one in perishing_now(plan, retime(plan, state, now), state, now)]


@pytest.mark.parametrize(
    ("events", "h"),
    [
        ((*TILL_FRIDGE, said("later", 7.3, until=hour(9.3))), 7.3),
        ((*TILL_OUT, said("later", 18.25, until=hour(20.25))), 18.25),
    ],
    ids=["at the fridge", "at pressing"],
)  # fmt: skip
def test_two_hours_late_no_way_keeps_a_milk_dough_out_longer_than_its_two_hours(
    events: tuple[Event, ...], h: float
) -> None:
    """Going on would be, by hand: 7:00 to 9:20 and 18:00 to 19:00, 200 min; or 20 min and 18:00 to 20:25, when it is
    pressed, 165 min at the least."""
    plan = milk()
    found = from_here(plan, h, *events)
    assert found, "something is left to do"
    assert "as-planned" not in [way.kind for way in found]
    assert all(way.out_s == 0 for way in found)
    for way in found:
        (seconds,) = out_of_fridge_s(plan, events, way, hour(h))
        assert seconds <= LIMIT_S, (way.kind, seconds)
        assert "fridge" in (way.place, way.proof)


def test_a_dough_that_was_out_too_long_has_one_way_and_that_says_for_how_long() -> None:
    """Out from 18:00 on, 20 min of the morning with it: at 19:50 it has been 130 min, and loaded then it is 130."""
    plan = milk()
    pressed = (*TILL_OUT, done("press", 18 + 25 / 60))
    late = said("later", 19 + 50 / 60, until=hour(19 + 50 / 60))
    (only,) = from_here(plan, 19 + 50 / 60, *pressed, late)
    assert (only.kind, only.out_s) == ("as-planned", 130 * M)
    assert only.loss > 20


def test_tomorrow_a_dough_with_milk_is_not_left_out_for_two_hours_before_it_is_pressed() -> None:
    """A lean one is: it warms 2 h. With 20 min of the morning that would be 2 h 20 min before it is even pressed."""
    plan = milk()
    young = said("glass", 18.1, times=1.05)
    night = [way for way in from_here(plan, 18.1, *TILL_OUT, young) if way.late_s > 80000]
    assert night
    assert all([move.place for move in way.carried] == ["fridge"] for way in night)
    lean = [way for way in ways_of(replace(plan, dough_perishes=False), (*TILL_OUT, young)) if way.late_s > 80000]
    assert [[move.place for move in way.carried] for way in lean] == [["fridge", "bench"]]


def ways_of(plan: Plan, events: Sequence[Event]) -> tuple[Way, ...]:
    """From 18:06."""
    return from_here(plan, 18.1, *events)


def test_two_hours_late_with_the_tray_topped_the_tray_goes_into_the_fridge() -> None:
    """Cheese out at 18:25, topped at 18:54; late at 18:57 until 20:57, and the oven is hot 45 min after that. Going
    on it is out 197 min at loading; in the fridge from 18:57 on 32 min."""
    events = (*TOPPED, said("later", 18.95, until=hour(20.95)))
    found = from_here(TRAY, 18.95, *events)
    assert found
    assert "as-planned" not in [way.kind for way in found]
    assert {way.place for way in found} == {"fridge"}
    for way in found:
        assert out_of_fridge_s(TRAY, events, way, hour(18.95)) == [32 * M]


def test_twenty_minutes_late_with_the_tray_topped_is_in_time() -> None:
    """18:25 to 19:17 is 52 min."""
    found = from_here(TRAY, 18.95, *TOPPED, said("later", 18.95, until=hour(19 + 17 / 60)))
    going = next(way for way in found if way.kind == "as-planned")
    assert (clock(going.load_at), going.out_s) == ("19:17", 0)


def test_an_hour_late_the_oven_has_to_be_lit_again_and_that_is_counted_too() -> None:
    """Lit at 19:57 and hot 45 min later, at 20:42: 18:25 to then is 137 min."""
    found = from_here(TRAY, 18.95, *TOPPED, said("later", 18.95, until=hour(19.95)))
    assert found
    assert "as-planned" not in [way.kind for way in found]


@pytest.mark.parametrize(("temp_c", "offered"), [(33.0, False), (31.0, True)])
def test_above_32_degrees_a_topped_tray_has_an_hour(temp_c: float, offered: bool) -> None:
    """18:25 to 19:30 is 65 min where 60 are the most (USDA FSIS: 1 h above 90 F)."""
    hot = replace(TRAY, rise=replace(TRAY.rise, room=(RoomSpan(at(0), temp_c),)))
    at_ten_past = 19 + 10 / 60
    found = from_here(hot, at_ten_past, *TOPPED, said("later", at_ten_past, until=hour(19.5)))
    assert found
    assert ("as-planned" in [way.kind for way in found]) is offered


def test_what_is_still_in_its_bowl_can_go_back_and_stands_in_no_ways_way() -> None:
    """The same wait before topping: the cheese goes back into the fridge, or fresh is taken."""
    events = (*PRESSED, said("later", 18.75, until=hour(20.75)))
    found = from_here(TRAY, 18.75, *events)
    assert "as-planned" in [way.kind for way in found]
    assert all(way.out_s == 0 for way in found)


def now_of(events: Sequence[Event], h: float) -> tuple[State, tuple[Perishing, ...]]:
    """The clock of the tray at that hour."""
    state = fold(TRAY, list(events))
    return state, perishing_now(TRAY, retime(TRAY, state, hour(h)), state, hour(h))


def test_a_topped_tray_in_the_fridge_stops_its_clock_and_what_went_before_counts() -> None:
    """18:25 to 19:00 out, in the fridge until 21:00, out again: at 21:30 it has been 35 + 30 min."""
    moves = (said("moved", 19.0, place="fridge"), said("moved", 21.0, place="bench"))
    _, (one,) = now_of((*TOPPED, *moves, said("later", 21.0, until=hour(22.0))), 21.5)
    assert (one.key, one.on_tray, one.had_s) == ("cheese", True, 65 * M)
    assert one.out.seconds == 140 * M  # 22:00 the oven is lit, 22:45 it is hot: 35 and 105 min


def test_what_is_carried_before_topping_says_nothing_of_what_is_put_on_later() -> None:
    moved = said("moved", 17.0, place="fridge")
    _, (one,) = now_of((*TOPPED[:2], moved, *TOPPED[2:]), 19.0)
    assert (one.on_tray, one.had_s) == (True, 35 * M)


def words_of(events: Sequence[Event], h: float) -> str:
    """What is said of it at that hour."""
    state = fold(TRAY, list(events))
    (one,) = out_too_long(TRAY, retime(TRAY, state, hour(h)), state, hour(h))
    return out_words(one)


def test_the_words_for_a_topped_tray_speak_of_the_tray() -> None:
    late = (*TOPPED, said("later", 18.95, until=hour(20.95)))
    assert words_of(late, 19.0) == (
        "Low-moisture mozzarella: on the tray, 3 hours 17 minutes out of the fridge before the oven would be over the "
        "limit of 2 hours. Bake it now, or the whole tray into the fridge."
    )
    assert words_of(late, 20.5).endswith(
        "2 hours 5 minutes out of the fridge is over the limit of 2 hours. Throw it away."
    )
    bowl = (*PRESSED, said("later", 18.75, until=hour(20.75)))
    assert words_of(bowl, 19.0).endswith("Back into the fridge until shortly before.")


def test_of_several_things_on_a_tray_the_one_that_was_out_first_counts() -> None:
    cheese = next(one for one in TRAY.toppings if one.key == "cheese")
    ham = replace(cheese, key="ham", name="Ham", fridge_out_s=0)  # on the tray with its topping, at 18:46
    plan = replace(TRAY, toppings=(ham, cheese))
    state = fold(plan, list(TOPPED))
    (one,) = perishing_now(plan, retime(plan, state, hour(19)), state, hour(19))
    assert (one.key, one.had_s) == ("cheese", 35 * M)
    assert ways(plan, state, hour(19))


LATE_IN = (*TOPPED, said("later", 18.95, until=hour(20.95)), done("load", 21.0))


def test_what_went_into_the_oven_too_late_is_still_said_to_be_thrown_away() -> None:
    """Out from 18:25, in at 20:59, a minute before the tap: 2 h 34 min. Baking does not make it good again."""
    assert words_of(LATE_IN, 21.1) == (
        "Low-moisture mozzarella: on the tray, 2 hours 34 minutes out of the fridge is over the limit of 2 hours. "
        "Throw it away."
    )
    state = fold(TRAY, list(LATE_IN))
    assert is_for_the_bin(TRAY, retime(TRAY, state, hour(21.1)), state, hour(21.1))


def test_what_went_into_the_oven_in_time_is_said_no_more_of() -> None:
    in_time = (*TOPPED, done("load", 19.1))
    state = fold(TRAY, list(in_time))
    assert perishing_now(TRAY, retime(TRAY, state, hour(23)), state, hour(23))[0].had_s == 0
    assert out_too_long(TRAY, retime(TRAY, state, hour(23)), state, hour(23)) == ()


def test_of_several_loads_the_one_that_went_in_too_late_is_named_and_the_others_go_on() -> None:
    """The first load's tray waits as above; the second is topped and baked from its own bowl, in its own time."""
    of_a_load = ("top", "load", "turn-down", "turn", "check", "lift")
    first = [replace(step, load=int(step.kind in of_a_load)) for step in TRAY.steps]
    second = [
        replace(step, load=2, step_id=f"{step.step_id}-2", start=step.start + 3 * 3600, end=step.end + 3 * 3600)
        for step in TRAY.steps
        if step.kind in of_a_load
    ]
    plan = replace(TRAY, steps=(*first, *second))
    state = fold(plan, list(LATE_IN))
    then = retime(plan, state, hour(21.1))
    (said_of_it,) = [one for one in out_too_long(plan, then, state, hour(21.1)) if one.load]
    assert out_words(said_of_it).startswith("Low-moisture mozzarella: on the tray of load 1, 2 hours 34 minutes out")
    assert not is_for_the_bin(plan, then, state, hour(21.1))


@pytest.mark.parametrize("h", [19.0, 20.5])
def test_cheese_that_nobody_ticked_left_the_fridge_as_long_before_topping_as_planned(h: float) -> None:
    """Planned 25 minutes before topping, which began at 18:46: out from 18:21, however late the oven is."""
    state = fold(UNTICKED, [*TOPPED_ALONE, said("later", 18.95, until=hour(20.75))])
    (one,) = perishing_now(UNTICKED, retime(UNTICKED, state, hour(h)), state, hour(h))
    assert (one.key, one.on_tray) == ("cheese", True)
    assert one.had_s == (h - 18) * 3600 - 21 * M


def test_what_is_on_the_tray_is_not_asked_for_any_more() -> None:
    steps = retime(UNTICKED, fold(UNTICKED, TOPPED_ALONE), hour(19)).steps
    assert [one.status for one in steps if one.step_id == "cheese-out"] == ["passed"]
