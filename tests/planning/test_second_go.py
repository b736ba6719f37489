"""A dough from the fridge is pressed in two goes, and the second is a step with its time: plan, kitchen, calendar.

How warm the tray is then, is worked out here by Newton's law of cooling from the time constant of its layer; 12 C,
under which gluten springs back, is common practice.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.planning.test_full_plan import KITCHEN, MORNING, SHELF, TRAY, plans, wish
from webapp.core.day.day import clock_text
from webapp.core.day.span import Span
from webapp.core.kitchen import AwaySpan, Oven
from webapp.core.now.fridge_clock import perishing
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import room_at
from webapp.core.plan.steps import PlanStep
from webapp.core.rise.dough_heat import time_constant_s
from webapp.core.rise.pressing import temp_when
from webapp.planning.full_plan import NothingFits, plans_for
from webapp.planning.question import Booked, ask_of
from webapp.planning.second_go import in_two_goes
from webapp.reminders.moments import entries_for
from webapp.words.spoken import spoken

COLD = wish(method_key="cold", supper_local="2026-11-25T20:15")
WARM_C = 12.0
MIXED_G_PER_CM3 = 1.12  # just mixed


def step(plan: Plan, step_id: str) -> PlanStep:
    """That step."""
    return next(one for one in plan.steps if one.step_id == step_id)


def cold_plan() -> Plan:
    """The first cold plan of the day."""
    return plans(COLD)[0]


def said(kind: str, at: int, **data: object) -> Event:
    """An event of the journal."""
    return Event(f"{at:016x}{abs(hash((kind, str(data)))) % 16**16:016x}", "b" * 22, at, at, "p", kind, data)


def done_until(plan: Plan, last: str) -> list[Event]:
    """Everything of the chain as planned, up to and with that step."""
    chain = [one for one in plan.steps if one.chain]
    number = [one.step_id for one in chain].index(last)
    return [said("done", one.end, step_id=one.step_id) for one in chain[: number + 1]]


def test_the_tray_gives_when_the_second_go_is_due_and_not_five_minutes_sooner() -> None:
    plan = cold_plan()
    press, again = step(plan, "press"), step(plan, "relax")
    tau_s = time_constant_s(plan.dough_g, "tray", "bench", plan.loading_g_cm2 / MIXED_G_PER_CM3)
    room_c = room_at(plan.rise.room, press.start)
    start_c = temp_when(plan, press.start)
    assert start_c < WARM_C

    def warm(seconds: float) -> float:
        return room_c + (start_c - room_c) * math.exp(-seconds / tau_s)

    rest_s = again.start - press.end
    assert rest_s >= 600, "ten minutes at least (common practice)"
    assert warm(rest_s) >= WARM_C
    assert rest_s == 600 or warm(rest_s - 300) < WARM_C


def test_it_is_a_step_of_the_chain_with_hands_and_a_text_and_the_waits_around_it_add_up() -> None:
    plan = cold_plan()
    press, again = step(plan, "press"), step(plan, "relax")
    after = next(one for one in plan.steps if one.chain and one.start >= again.end)
    assert (again.presence, again.vessel, again.place, again.end - again.start) == ("hands", "tray", press.place, 600)
    assert again.wait_least_s == again.start - press.end
    assert after.wait_least_s <= after.start - again.end <= after.wait_most_s
    assert "to the edge" in again.text
    assert [one.start for one in retime(plan, fold(plan, ()), MORNING).steps] == [one.start for one in plan.steps]


def test_who_is_quick_at_the_second_go_is_not_told_that_the_dough_waits_too_long() -> None:
    """A dough that perishes may be in its tray for 45 min on the cold way: they count from pressing it."""
    plan = plans(wish(formula_key="milk-round", method_key="cold", toppings_key="none"))[0]
    press, again, load = step(plan, "press"), step(plan, "relax"), step(plan, "load")
    assert load.start - press.end <= 45 * 60
    lit = said("done", step(plan, "preheat").end, step_id="preheat")
    events = [*done_until(plan, "press"), lit, said("done", again.start + 30, step_id="relax")]

    def flag(now: int) -> str:
        return next(one.flag for one in retime(plan, fold(plan, events), now).steps if one.step_id == "load")

    assert flag(load.start) != "long"
    assert flag(load.start + 20 * 60) == "long"


def test_the_pressing_step_says_the_rest_that_the_day_has_for_it() -> None:
    plan = plans(wish(formula_key="milk-round", method_key="cold", toppings_key="none"))[0]
    press, again = step(plan, "press"), step(plan, "relax")
    assert f"after a rest of {(again.start - press.end) // 60} minutes" in press.text.replace("\u00a0", " ")


def test_its_hands_are_counted_with_the_others() -> None:
    plan = cold_plan()
    hands = [one for one in plan.steps if one.presence == "hands"]
    assert plan.trade.hands_on_s == sum(one.end - one.start for one in hands)


def test_the_calendar_tells_of_it_in_the_event_of_the_pressing_and_rings_for_it_where_every_step_rings() -> None:
    plan = cold_plan()
    again = step(plan, "relax")
    title = again.title
    told = next(one for one in entries_for(plan, kitchen=KITCHEN) if "press" in one.title.lower())
    assert f"{clock_text(again.start, plan.zone)} {title}" in told.text
    each = entries_for(plan, kitchen=replace(KITCHEN, every_step=True))
    assert [one.start for one in each if one.title == title] == [again.start]


def test_who_presses_late_finds_the_second_go_so_much_later() -> None:
    plan = cold_plan()
    press, again = step(plan, "press"), step(plan, "relax")
    events = [*done_until(plan, "temper"), said("done", press.end + 900, step_id="press")]
    now = retime(plan, fold(plan, events), press.end + 960)
    moved = next(one for one in now.steps if one.step_id == "relax")
    assert moved.start == again.start + 900


def test_a_tray_in_the_fridge_is_pressed_to_the_edge_and_stays_there() -> None:
    plan = cold_plan()
    again = step(plan, "relax")
    events = [*done_until(plan, "press"), said("moved", again.start - 60, place="fridge")]
    events.append(said("done", again.end, step_id="relax"))
    assert retime(plan, fold(plan, events), again.end + 60).place == "fridge"


def test_a_rich_tray_in_the_fridge_is_not_counted_as_out_of_it_for_its_second_go() -> None:
    plan = replace(cold_plan(), dough_perishes=True)
    again = step(plan, "relax")
    events = [*done_until(plan, "press"), said("moved", again.start - 60, place="fridge")]
    bare = replace(plan, steps=tuple(one for one in plan.steps if one.kind != "relax"))
    state = fold(plan, events)
    starts = {one.step_id: one.start for one in plan.steps}
    assert perishing(plan, starts, None, None, state)[0].out == perishing(bare, starts, None, None, state)[0].out


def test_a_dough_that_gives_is_pressed_once() -> None:
    bench = plans(wish())[0]
    assert "relax" not in [one.kind for one in bench.steps]
    assert in_two_goes(bench, ask_of(wish(), KITCHEN, MORNING, SHELF).day) == bench


def test_each_load_has_its_own_and_no_two_hands_are_in_one_place() -> None:
    asked = replace(COLD, pans=(replace(TRAY, count=2),), supper_local="2026-11-26T21:30")
    kitchen = replace(KITCHEN, oven=replace(Oven(), trays_at_once=1))
    plan = plans(asked, kitchen)[0]
    again = [one for one in plan.steps if one.kind == "relax"]
    assert {one.load for one in again} <= {1, 2}
    assert again
    for one in again:
        assert one.step_id == f"relax-{one.load}"
        assert f"press-{one.load}" in [x.step_id for x in plan.steps if x.load == one.load]
        others = [x for x in plan.steps if x.presence == "hands" and x.end > x.start and x.step_id != one.step_id]
        assert all(x.end <= one.start or x.start >= one.end for x in others)
    assert [one.start for one in retime(plan, fold(plan, ()), MORNING).steps] == [one.start for one in plan.steps]


def test_with_nobody_free_until_the_oven_the_pressing_step_says_the_rest_in_words() -> None:
    free = plans_for(COLD, KITCHEN, MORNING, "b" * 22, SHELF)[0]
    press, due = step(free, "press"), next(one for one in free.steps if one.kind in ("top", "load"))
    bare = replace(free, steps=tuple(one for one in free.steps if one.kind != "relax"))
    call = Booked(((Span(press.end, due.start),),))
    day = ask_of(COLD, KITCHEN, MORNING, SHELF, call).day
    assert in_two_goes(bare, day) == bare
    assert "Nobody is sure to have free hands" in step(spoken(bare), "press").text


def test_a_tray_that_is_wanted_before_it_gives_says_how_long_it_has_and_what_to_do() -> None:
    plan = plans_for(COLD, KITCHEN, MORNING, "b" * 22, SHELF)[0]
    press = step(plan, "press")
    top = replace(step(plan, "top"), start=press.end + 600)  # ten minutes for the rest and the ten of a second go
    steps = tuple(top if one.kind == "top" else one for one in plan.steps if one.kind != "relax")
    told = step(spoken(replace(plan, steps=steps)), "press").text.replace("\u00a0", " ")
    assert "leaves it only 10 minutes in the tray" in told
    assert "draw it out once more just before it is topped" in told


@pytest.mark.many_cases
@pytest.mark.parametrize("supper", ["18:30", "19:15", "20:00", "21:30"])
@pytest.mark.parametrize("home", [16.5, 17.5, 18.0])
def test_a_rich_dough_has_time_for_its_second_go_too(supper: str, home: float) -> None:
    """It may be out of the fridge for two hours in all; its rest, second go and topping are part of them."""
    away = (AwaySpan(8 * 60, int(home * 60)),)
    asked = wish(formula_key="milk-round", method_key="cold", supper_local=f"2026-11-26T{supper}", room_c=17.0)
    try:
        found = plans_for(replace(asked, away_today=away), KITCHEN, MORNING, "b" * 22, SHELF)
    except NothingFits:
        assert supper == "18:30" or (supper, home) == ("19:15", 18.0), "with two hours at home it fits"
        return
    assert all("relax" in [one.step_id for one in plan.steps] for plan in found)


def test_a_tray_that_is_kept_cold_is_not_waited_for() -> None:
    plan = cold_plan()
    day = ask_of(COLD, KITCHEN, MORNING, SHELF).day
    bare = [one for one in plan.steps if one.kind != "relax"]
    kept = tuple(replace(one, place="fridge") if one.kind == "press" else one for one in bare)
    chilled = replace(plan, steps=kept)
    assert in_two_goes(chilled, day) == chilled


def test_a_way_that_presses_at_another_time_takes_the_second_go_along_however_much_later_it_loads() -> None:
    plan = cold_plan()
    press, again, load = step(plan, "press"), step(plan, "relax"), step(plan, "load")
    now = step(plan, "temper").end + 60
    way = {"way": "cold-tray", "press": press.start + 600, "load": load.start + 1200, "supper": plan.supper + 1200}
    events = [*done_until(plan, "temper"), said("way", now, moves=[], proof="fridge", asked=True, **way)]
    steps = {one.step_id: one.start for one in retime(plan, fold(plan, events), now).steps}
    assert (steps["press"], steps["relax"]) == (press.start + 600, again.start + 600)
    assert steps["load"] == load.start + 1200


def test_at_mixing_a_glass_is_told_of_that_shows_the_rise_later() -> None:
    plan = cold_plan()
    for text in (step(plan, "mix").text, step(plan, "mix").beside):
        assert "straight-sided glass" in text
    assert any("Never seal" in one.text for one in plan.cautions if one.step_id == "mix")


def test_a_second_go_that_nobody_ticks_puts_supper_off_for_no_minute() -> None:
    plan = cold_plan()
    again, load = step(plan, "relax"), step(plan, "load")
    events = done_until(plan, "press")
    due = retime(plan, fold(plan, events), again.start + 60)
    assert next(one.status for one in due.steps if one.step_id == "relax") == "open"
    later = retime(plan, fold(plan, events), again.end + 60)
    steps = {one.step_id: one for one in later.steps}
    assert (steps["relax"].status, steps["load"].start, later.late_s) == ("passed", load.start, 0)


def test_who_runs_late_for_it_finds_it_so_much_later() -> None:
    plan = cold_plan()
    again = step(plan, "relax")
    events = [*done_until(plan, "press"), said("later", again.start, until=again.start + 300)]
    moved = next(one for one in retime(plan, fold(plan, events), again.start + 30).steps if one.step_id == "relax")
    assert (moved.status, moved.start) == ("open", again.start + 300)


def test_a_dough_that_is_pressed_cold_is_not_told_to_warm_up_first() -> None:
    """A quarter of an hour out of the fridge warms nothing: both steps say the same of it."""
    cold = spoken(cold_plan())
    taken_out, press = step(cold, "temper").text, step(cold, "press").text
    assert "stays cold" in taken_out
    assert "warm up" not in taken_out
    assert "springs back" in press
    assert "dimple" not in press
