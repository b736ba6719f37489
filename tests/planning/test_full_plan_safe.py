"""Whole plans keep the rules of safety, and carry what past bakes have taught about the oven."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.planning.test_full_plan import KITCHEN, MORNING, SHELF, plans, wish
from webapp.core.errors import PlanError
from webapp.core.kitchen import Oven, PartOfDay
from webapp.core.now import fridge_clock
from webapp.core.plan.plan import Habit, Plan
from webapp.core.planner.propose import propose
from webapp.planning import full_plan
from webapp.planning.full_plan import NothingFits
from webapp.planning.question import ask_of, wanted_of
from webapp.words.calendar import describe

MILK = {"formula_key": "milk-round", "method_key": "", "toppings_key": "", "supper_local": "2026-11-26T19:30"}


def _out_s(plan: Plan) -> int:
    """Seconds from the first hand on the dough to the oven that the dough is not in the fridge, hands included."""
    chain = [s for s in plan.steps if s.chain and s.kind not in ("turn-down", "turn", "check", "lift", "serve", "cool")]
    total, place, since = 0, "bench", chain[0].start
    for step in chain[1:]:
        ends = step.end if step.place == "fridge" else step.start
        total += ends - since if place != "fridge" else 0
        since, place = ends, step.place
    return total


def test_a_dough_with_milk_is_out_of_the_fridge_for_two_hours_at_most_in_all() -> None:
    made = plans(wish(**MILK))
    assert made
    for plan in made:
        assert "fridge" in {step.place for step in plan.steps}
        assert _out_s(plan) <= 2 * 3600  # USDA FSIS


def test_in_a_kitchen_above_32_degrees_its_hour_is_too_short_and_it_is_refused() -> None:
    hot = replace(KITCHEN, room=(PartOfDay(0, 34.0),))
    with pytest.raises(NothingFits) as refused:
        plans(wish(**MILK), hot)
    said = refused.value.problems[0]
    assert "1 hour" in said.message
    assert "cooler kitchen" in said.way_out  # above 32 C even the cold way's two hours out are one too many


def test_its_way_out_is_a_dough_that_may_stand_and_really_fits() -> None:
    hot = replace(KITCHEN, room=(PartOfDay(0, 34.0),))
    with pytest.raises(NothingFits) as refused:
        plans(wish(**MILK), hot)
    (way,) = refused.value.nearest
    assert way.wish.supper_local == MILK["supper_local"]
    assert not SHELF.formulas[way.wish.formula_key].cold_only
    assert SHELF.formulas[way.wish.formula_key].name == way.change.name
    assert plans(way.wish, hot)


def test_an_offer_that_leaves_it_out_longer_is_refused() -> None:
    ask = ask_of(wish(**MILK), KITCHEN, MORNING, SHELF)
    plain = replace(ask.batch.formula, cold_only=False)
    free = replace(ask, batch=replace(ask.batch, formula=plain), methods=tuple(SHELF.methods.values()))
    long_bench = next(offer for offer in propose(wanted_of(free)).offers if offer.method == "bench-day")
    assert full_plan.too_long_out(free, long_bench) is None
    found = full_plan.too_long_out(ask, long_bench)
    assert found
    assert found.bench_s > found.limit_s == 2 * 3600  # USDA FSIS


def test_no_topping_of_a_fresh_plan_is_out_of_the_fridge_too_long() -> None:
    for key in SHELF.toppings:
        for plan in plans(wish(toppings_key=key)):
            assert not [p for p in fridge_clock.perishing(plan) if p.out.over], key


def test_what_was_accepted_after_a_bake_goes_into_the_next_plan_and_is_said() -> None:
    habits = (Habit("preheat_min", 10.0, "Heat longer."), Habit("topping_times", 0.8, "Less on top."),
              Habit("loading_times", 1.1, "More dough."), Habit("water_percent", 3.0, "Wetter."))  # fmt: skip
    before, after = (plans(wish(), replace(KITCHEN, habits=h))[0] for h in ((), habits))
    assert after.oven.preheat_min == before.oven.preheat_min + 10
    assert [t.grams for t in after.toppings] == pytest.approx(
        [t.grams * 0.8 for t in before.toppings], abs=1.0
    )  # each is told to the gram
    assert after.dough_g == pytest.approx(before.dough_g * 1.1)
    water = [sum(line.percent for line in plan.lines if line.kind == "water") for plan in (before, after)]
    assert water[1] == pytest.approx(water[0] + 3.0, abs=0.05)
    assert after.notes[0] == "Heat longer. (now +10 min)"
    assert before.notes == ()


def test_what_a_person_asks_for_today_stands_against_a_habit() -> None:
    thick = replace(KITCHEN, habits=(Habit("loading_times", 1.2, "More dough."),))
    assert plans(wish(loading_g_cm2=0.6), thick)[0].dough_g == pytest.approx(0.6 * 38 * 28)


def test_allergens_of_dough_and_topping_are_said_on_the_plan_and_in_the_calendar() -> None:
    plan = plans(wish(toppings_key="chard-walnut"))[0]
    assert plan.allergens == ("gluten", "milk", "nuts")
    said = next(caution for caution in plan.cautions if caution.key == "allergens")
    assert said.text.startswith("Contains: gluten (wheat), milk, nuts.")
    assert "1169/2011" in said.source
    serve = next(step for step in plan.steps if step.step_id == said.step_id)
    assert serve.kind == "serve"
    assert serve.rings
    assert "Take care: Contains: gluten (wheat), milk, nuts." in describe(plan, serve, serve.start, KITCHEN)


def test_a_crisp_rim_is_weighed_by_the_wall_and_asks_for_a_pan_or_tray() -> None:
    plan = plans(wish(toppings_key="tomato-cheese-rim"))[0]
    rim = next(topping for topping in plan.toppings if topping.key == "rim")
    assert rim.grams == pytest.approx(0.9 * 2 * (38 + 28), abs=0.5)  # 0.9 g for each cm of wall (common practice)
    assert "hot-rim" in {caution.key for caution in plan.cautions}
    with pytest.raises(PlanError, match="toppings: rim-wall") as refused:
        plans(wish(formula_key="round-flat", toppings_key="tomato-cheese-rim", method_key=""))
    assert refused.value.problems[0].field == "toppings"


def test_toppings_for_the_last_of_many_loads_are_told_to_wait_in_the_fridge() -> None:
    five = tuple(replace(pan, count=5) for pan in wish().pans)
    steel = replace(KITCHEN, oven=Oven(slab="steel", slab_mm=10.0))
    plan = plans(wish(pans=five, supper_local="2026-11-26T22:30"), steel)[0]
    said = {caution.key: caution.text for caution in plan.cautions}
    assert plan.oven.loads == 5
    assert "Back into the fridge" in said["out-cheese"]
    assert "top each just before it goes in" in said["next-loads"]
