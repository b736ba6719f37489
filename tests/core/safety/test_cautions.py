"""Cautions from a plan's own times; limits as the authorities print them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.samples import at, sample_plan
from webapp.core.kinds import ToppingRisk
from webapp.core.now import fridge_clock
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.caution import Caution
from webapp.core.plan.event import Event
from webapp.core.plan.oven import OvenPlan
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import RoomSpan
from webapp.core.plan.steps import PlanStep
from webapp.core.plan.tray import Topping
from webapp.core.plan.weights import WeighLine
from webapp.core.safety import cautions
from webapp.data import safety as safety_data

MILD = (RoomSpan(at(0), 21.0),)
H = 3600


def _told(plan: Plan) -> dict[str, Caution]:
    return {c.key: c for c in cautions.for_plan(plan, safety_data.caution_rules())}


# USDA FSIS: discard perishable food left out more than 2 h, 1 h above 90 F (32 C).
@pytest.mark.parametrize(
    ("minutes", "room_c", "over"),
    [
        (119, 21, False),
        (120, 21, False),
        (121, 21, True),
        (59, 33, False),
        (61, 33, True),
        (61, 32, False),
        (121, 32, True),
    ],
)
def test_two_hours_are_the_limit_and_one_above_32_degrees(minutes: int, room_c: float, over: bool) -> None:
    out = fridge_clock.time_out(at(18), at(18) + minutes * 60, (RoomSpan(at(0), room_c),))
    assert out.over is over


def test_a_kitchen_that_gets_hot_meanwhile_shortens_the_limit_from_then_on() -> None:
    rooms = (RoomSpan(at(0), 25.0), RoomSpan(at(18, 30), 34.0))
    out = fridge_clock.time_out(at(18), at(19, 10), rooms)
    assert out.use_by == at(19)
    assert out.over
    late_heat = fridge_clock.time_out(at(18), at(19, 40), (RoomSpan(at(0), 25.0), RoomSpan(at(19, 20), 34.0)))
    assert late_heat.use_by == at(19, 20)  # not before it got hot


def test_heat_that_comes_after_the_oven_or_was_over_before_does_not_count() -> None:
    later = fridge_clock.time_out(at(18), at(19), (RoomSpan(at(0), 25.0), RoomSpan(at(19), 34.0)))
    earlier = fridge_clock.time_out(at(18), at(19), (RoomSpan(at(0), 34.0), RoomSpan(at(17), 25.0)))
    assert later.limit_s == earlier.limit_s == 2 * H


def test_the_first_room_covers_everything_before_it() -> None:
    assert fridge_clock.time_out(at(8), at(9), (RoomSpan(at(12), 35.0),)).limit_s == H


@given(st.integers(0, 4 * H), st.integers(0, 4 * H), st.floats(10, 40))
def test_more_time_out_is_never_safer(first: int, more: int, room_c: float) -> None:
    rooms = (RoomSpan(0, room_c),)
    shorter, longer = (fridge_clock.time_out(1000, 1000 + s, rooms) for s in (first, first + more))
    assert longer.over or not shorter.over
    assert longer.limit_s == shorter.limit_s or first == 0


def _with_cheese_out(plan: Plan, start: int) -> Plan:
    load = next(one.start for one in plan.steps if one.kind == "load")
    step = PlanStep("cheese-out", "cheese-out", start, start, "home", chain=False, anchor="load", offset_s=start - load)
    return replace(plan, steps=(*plan.steps[:3], step, *plan.steps[3:]))


def test_the_plan_says_how_long_the_cheese_is_out_before_the_oven() -> None:
    cheese = _told(sample_plan())["out-cheese"]
    assert (cheese.step_id, cheese.out, cheese.out_s, cheese.limit_s) == ("top", "within", 1800, 2 * H)


def test_the_step_that_takes_it_out_starts_the_clock_and_carries_the_caution() -> None:
    plan = _with_cheese_out(sample_plan(), at(18, 15))
    (cheese,) = fridge_clock.perishing(plan)
    assert (cheese.out_at, cheese.until) == (at(18, 15), at(18, 55))
    assert _told(plan)["out-cheese"].step_id == "cheese-out"


def test_time_out_goes_on_counting_when_the_plan_moves() -> None:
    plan = _with_cheese_out(sample_plan(), at(18, 15))
    moved = {"cheese-out": at(18, 10), "load": at(20, 20), "top": at(20, 10)}
    (cheese,) = fridge_clock.perishing(plan, moved)
    assert cheese.out.seconds == 130 * 60
    assert cheese.out.over
    (before,) = cautions.perishable_cautions(plan, moved)
    assert (before.out, before.out_s, before.limit_s) == ("over", 130 * 60, 2 * H)
    (late,) = cautions.perishable_cautions(plan, moved, at(20, 20))
    assert late.out == "spent"
    assert late.out_s > late.limit_s


def test_until_it_is_loaded_it_counts_up_to_now() -> None:
    plan = _with_cheese_out(sample_plan(), at(18, 15))
    assert fridge_clock.perishing(plan, now=at(20))[0].until == at(20)
    assert fridge_clock.perishing(plan, now=at(18))[0].until == at(18, 55)


def test_a_sauce_counts_from_when_it_is_made() -> None:
    plan = sample_plan()
    sauce = PlanStep("sauce", "sauce", at(17, 30), at(17, 35), "hands", chain=False, anchor="load", title="Sauce")
    top = Topping("sauce", "Sauce", 200.0, "before", True, 0)
    plan = replace(plan, steps=(sauce, *plan.steps), toppings=(top,))
    assert fridge_clock.perishing(plan)[0].out_at == at(17, 30)


def test_what_comes_straight_from_the_fridge_counts_from_topping() -> None:
    plan = replace(sample_plan(), toppings=(Topping("ham", "Ham", 50.0, "before", True, 0),))
    assert fridge_clock.perishing(plan)[0].out_at == at(18, 45)


def test_without_a_step_for_it_the_topping_s_own_time_counts() -> None:
    plan = sample_plan()
    plan = replace(plan, steps=tuple(s for s in plan.steps if s.kind != "top"))
    assert fridge_clock.perishing(plan)[0].out_at == at(18, 25)
    assert cautions.perishable_cautions(plan)[0].step_id == ""


def test_toppings_for_the_last_of_several_loads_wait_longest() -> None:
    plan = sample_plan()
    second = PlanStep("load-2", "load", at(19, 40), at(19, 41), "hands", "oven", "tray", title="Second tray")
    assert fridge_clock.perishing(replace(plan, steps=(*plan.steps, second)))[0].until == at(19, 40)


def test_a_plan_without_an_oven_step_leaves_nothing_out() -> None:
    plan = sample_plan()
    assert fridge_clock.perishing(replace(plan, steps=plan.steps[:2])) == ()


def test_each_caution_is_said_at_its_step() -> None:
    plan = sample_plan()
    said = cautions.for_plan(plan, safety_data.caution_rules())
    told = _told(plan)
    for key, step in {
        "raw-flour": "mix",
        "never-alone": "preheat",
        "hot-slab": "load",
        "door-steam": "load",
        "hot-oil": "check",
        "oven-off": "lift",
        "leftovers": "serve",
    }.items():
        assert told[key].step_id == step
    order = [s.step_id for s in plan.steps]
    places = [order.index(c.step_id) for c in said]
    assert places == sorted(places)


def test_cautions_appear_only_where_their_cause_is() -> None:
    plan = sample_plan()
    bare = replace(plan, oven=replace(plan.oven, slab="tray alone", bare=True), lines=plan.lines[:4], toppings=())
    absent = {"hot-slab", "heavy-slab", "hot-oil", "out-cheese", "hot-rim", "after-bake", "next-loads"}
    assert not absent & set(_told(bare))


def test_bread_with_nothing_on_it_keeps_as_bread_does_and_topped_bread_as_its_topping() -> None:
    """Perishable food within two hours into the fridge (USDA FSIS); bread goes stale soonest there (usual advice)."""
    plan = sample_plan()
    brine = replace(plan.toppings[0], key="brine", name="Salt water", perishable=False)
    for on_top, said, absent in (
        (plan.toppings, "leftovers", "bread-left"), ((), "bread-left", "leftovers"),
        ((brine,), "bread-left", "leftovers"),
    ):  # fmt: skip
        told = _told(replace(plan, toppings=on_top))
        assert told[said].step_id == "serve"
        assert absent not in told


def test_a_rim_loads_fresh_toppings_and_a_rich_dough_bring_their_own_cautions() -> None:
    plan = sample_plan()
    milk = WeighLine("milk", "Milk", "other", "dough", 30, 100, 100, allergens=("milk",))
    more = (Topping("rim", "Rim", 90.0, "before", True, 1800), Topping("ham", "Ham", 60.0, "after", True, 0))
    oven: OvenPlan = replace(plan.oven, loads=2)
    rich = replace(plan, lines=(*plan.lines, milk), toppings=(*plan.toppings, *more), oven=oven, dough_perishes=True)
    assert {"hot-rim", "after-bake", "next-loads", "rich-dough"} <= set(_told(rich))
    assert not {"hot-rim", "after-bake", "next-loads", "rich-dough"} & set(_told(plan))


@pytest.mark.parametrize(
    ("risk", "key", "step"),
    [("raw-egg", "egg-through", "top"), ("raw-meat", "meat-through", "top"), ("avoid", "who-avoids", "serve")],
)
def test_what_lies_on_top_brings_its_own_caution_to_the_step_where_it_counts(
    risk: ToppingRisk, key: str, step: str
) -> None:
    plan = sample_plan()
    risky = replace(plan, toppings=(*plan.toppings, Topping("x", "X", 60.0, "before", True, 0, risk=risk)))
    assert _told(risky)[key].step_id == step
    assert key not in _told(plan)


# What no oven cooks is safe only cooked or cured before (US FDA egg safety; USDA FSIS temperatures: from memory).
@pytest.mark.parametrize(
    ("risk", "key", "baked", "step"),
    [("raw-egg", "egg-after", "egg-through", "serve"), ("raw-meat", "meat-after", "meat-through", "top")],
)
def test_nobody_is_told_to_bake_what_goes_on_after_baking(risk: ToppingRisk, key: str, baked: str, step: str) -> None:
    plan = sample_plan()
    after = replace(plan, toppings=(*plan.toppings, Topping("x", "X", 60.0, "after", True, 0, risk=risk)))
    told = _told(after)
    assert told[key].step_id == step
    assert baked not in told
    assert key not in _told(plan)
    both = replace(after, toppings=(*after.toppings, Topping("y", "Y", 60.0, "before", True, 0, risk=risk)))
    assert {key, baked} <= set(_told(both))


# Butter is fat with little water and stands as oil does (common practice); its milk is an allergen all the same.
def test_a_dough_with_butter_alone_is_not_sent_into_the_fridge_for_its_milk() -> None:
    plan = sample_plan()
    butter = WeighLine("butter", "Butter", "fat", "dough", 5, 20, 20, allergens=("milk",))
    told = _told(replace(plan, lines=(*plan.lines, butter)))
    assert "rich-dough" not in told


def test_nobody_is_left_to_seal_the_glass() -> None:
    assert _told(sample_plan())["open-glass"].step_id == "mix"


def test_a_rule_for_a_step_that_the_plan_has_not_is_left_out_and_one_for_the_whole_bake_comes_first() -> None:
    plan = sample_plan()
    rules = (
        cautions.CautionRule("hot-oil", ("drain",)),
        cautions.CautionRule("leftovers"),
        cautions.CautionRule("raw-flour", ("mix",)),
        cautions.CautionRule("hot-slab", ("load",), "no-slab"),
    )
    said = cautions.for_plan(replace(plan, toppings=(), allergens=()), rules)
    assert [(c.key, c.step_id) for c in said] == [("leftovers", ""), ("raw-flour", "mix")]


def test_every_condition_of_the_data_file_is_known() -> None:
    assert {rule.when for rule in safety_data.caution_rules()} <= set(cautions.CONDITIONS)


# The same rule for a dough with milk, egg, cheese or garlic in oil (2 h / 1 h; common practice)
@pytest.mark.parametrize(
    ("cold_only", "hours", "room_c", "refused"),
    [
        (True, 2.0, 22, False),
        (True, 1.5, 32, False),
        (True, 2.1, 22, True),
        (True, 1.1, 33, True),
        (True, 0.9, 33, False),
        (False, 18, 22, False),
    ],
)
def test_a_rich_dough_is_refused_a_long_bench(cold_only: bool, hours: float, room_c: float, refused: bool) -> None:
    problem = cautions.long_bench(cold_only, round(hours * H), room_c)
    assert (problem is not None) is refused


def test_the_refusal_knows_the_limit_the_heat_and_the_way_it_goes() -> None:
    # USDA FSIS: 2 h, 1 h above 32 C
    assert cautions.long_bench(True, 9 * H, 21.0) == cautions.LongBench(9 * H, 2 * H, hot=False, cold=False)
    assert cautions.long_bench(True, 100 * 60, 33.0, cold=True) == cautions.LongBench(6000, H, hot=True, cold=True)


def test_the_sauce_s_hours_are_told_where_the_sauce_is_made() -> None:
    plan = sample_plan()
    sauce = PlanStep("stir", "sauce", at(17, 30), at(17, 35), "hands", chain=False, anchor="load", title="Sauce")
    top = Topping("sauce", "Sauce", 200.0, "before", True, 0)
    plan = _with_cheese_out(replace(plan, toppings=(*plan.toppings, top)), at(18, 15))
    told = _told(replace(plan, steps=(sauce, *plan.steps)))
    assert told["out-sauce"].step_id == "stir"
    assert told["out-cheese"].step_id == "cheese-out"


def test_what_stays_in_the_fridge_until_topping_is_told_of_there_and_not_where_the_cheese_comes_out() -> None:
    chard = Topping("chard", "Chard, wilted", 200.0, "before", True, 0)
    plan = sample_plan()
    plan = _with_cheese_out(replace(plan, toppings=(*plan.toppings, chard)), at(18, 15))
    told = _told(plan)
    assert (told["out-chard"].step_id, told["out-chard"].out_s) == ("top", 10 * 60)  # topped 18:45, loaded 18:55
    assert told["out-cheese"].step_id == "cheese-out"


def test_the_oven_is_told_off_after_the_last_load_only() -> None:
    plan = sample_plan()
    lift = next(step for step in plan.steps if step.kind == "lift")
    second = replace(lift, step_id="lift-2", start=lift.start + 1800, end=lift.end + 1800)
    place = plan.steps.index(lift) + 1
    steps = (*plan.steps[:place], second, *plan.steps[place:])
    assert _told(replace(plan, steps=steps))["oven-off"].step_id == "lift-2"
    assert _told(plan)["oven-off"].step_id == lift.step_id


def _as_it_went(plan: Plan, done: dict[str, int], now: int) -> tuple[fridge_clock.Perishing, ...]:
    events = [
        Event(f"{i:032x}", plan.bake_id, when, when, "p", "done", {"step_id": step})
        for i, (step, when) in enumerate(done.items())
    ]
    state = fold(plan, events)
    return fridge_clock.perishing_now(plan, retime(plan, state, now), state, now)


def test_as_things_stand_the_clock_runs_until_the_last_load_is_in() -> None:
    plan = _with_cheese_out(sample_plan(), at(18, 15))
    done = {"mix": at(7, 30), "press": at(16, 55), "cheese-out": at(18, 15), "preheat": at(18, 11)}
    (waiting,) = _as_it_went(plan, done, at(20, 30))
    assert waiting.out_at == at(18, 15)
    assert waiting.until >= at(20, 30)
    assert waiting.out.over
    (loaded,) = _as_it_went(plan, done | {"top": at(18, 50), "load": at(19)}, at(21))
    assert loaded.until <= at(19)
    assert not loaded.out.over


def test_cheese_that_was_due_out_and_never_ticked_is_out_since_then() -> None:
    """Pressed, nobody said anything since: topping slides with the clock, the cheese on the table gets no fresher."""
    plan = _with_cheese_out(sample_plan(), at(18, 15))
    done = {"mix": at(7, 30), "press": at(16, 55), "preheat": at(18, 11)}
    for now in (at(18, 40), at(20, 30)):
        (waiting,) = _as_it_went(plan, done, now)
        assert waiting.out_at == at(18, 15)
        assert waiting.had_s == now - at(18, 15)
    assert waiting.out.over


def test_cheese_of_a_dough_that_is_not_pressed_yet_is_still_in_the_fridge() -> None:
    plan = _with_cheese_out(sample_plan(), at(18, 15))
    (waiting,) = _as_it_went(plan, {"mix": at(7, 30)}, at(18, 40))
    assert waiting.out_at > at(18, 40)
    assert waiting.had_s == 0


def test_a_room_read_as_hot_shortens_the_clock() -> None:
    plan = _with_cheese_out(sample_plan(), at(18, 15))
    state = fold(plan, [Event("a" * 32, plan.bake_id, at(18), at(18), "p", "room", {"temp_c": 34.0})])
    (cheese,) = fridge_clock.perishing_now(plan, retime(plan, state, at(18, 20)), state, at(18, 20))
    assert cheese.out.limit_s == H


def test_allergens_are_said_where_it_is_served_or_for_the_whole_bake() -> None:
    plan = replace(sample_plan(), toppings=())
    for steps, place in ((plan.steps, "serve"), (plan.steps[:3], "")):
        said = cautions.for_plan(replace(plan, steps=steps), ())
        assert [(c.key, c.step_id) for c in said] == [("allergens", place)]


def test_what_is_out_too_long_as_things_stand_is_said_and_nothing_else() -> None:
    plan = _with_cheese_out(sample_plan(), at(18, 15))
    done = {"mix": at(7, 30), "press": at(16, 55), "preheat": at(18, 11), "cheese-out": at(18, 15)}
    events = [
        Event(f"{i:032x}", plan.bake_id, when, when, "p", "done", {"step_id": step})
        for i, (step, when) in enumerate(done.items())
    ]
    state = fold(plan, events)

    def said(now: int) -> list[str]:
        return [c.out for c in cautions.out_too_long(plan, retime(plan, state, now), state, now)]

    assert said(at(18, 30)) == []
    assert said(at(18)) == []  # still in the fridge
    assert said(at(20, 12)) == ["over"]  # topping and loading would take it past 20:15
    assert said(at(20, 30)) == ["spent"]


def test_things_that_are_out_equally_long_are_said_together() -> None:
    plan = sample_plan()
    rim = Topping("rim", "Cheese for the rim", 90.0, "before", True, 1800)
    said = cautions.perishable_cautions(replace(plan, toppings=(*plan.toppings, rim)))
    assert [c.key for c in said] == ["out-cheese"]
    assert said[0].names == ("Low-moisture mozzarella", "Cheese for the rim")


def test_heat_of_another_part_of_the_day_does_not_count() -> None:
    rooms = (RoomSpan(at(0), 20.0), RoomSpan(at(12), 36.0), RoomSpan(at(16), 24.0), RoomSpan(at(22), 36.0))
    assert fridge_clock.time_out(at(18), at(19), rooms).limit_s == 2 * H
    assert fridge_clock.time_out(at(13), at(14), rooms).limit_s == H
    assert fridge_clock.time_out(at(15, 30), at(16, 30), rooms).limit_s == H  # hot until 16:00
    assert fridge_clock.time_out(at(16), at(17), rooms).limit_s == 2 * H  # from 16:00 on it is mild
