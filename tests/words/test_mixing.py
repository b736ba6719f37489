"""What the mixing says of water for the yeast and of what comes out of the fridge."""

from __future__ import annotations

import re
from dataclasses import replace

from tests.words.fresh import KITCHEN, fresh_plan
from webapp.core.plan.plan import Plan
from webapp.words.spoken import spoken

NO_FINE_SCALE = replace(KITCHEN, scale_step_g=2.0, micro_step_g=0.0, has_spoons=False)  # little yeast: yeast water


def mixing(plan: Plan) -> list[str]:
    """The sentences of the mixing."""
    return next(step for step in spoken(plan).steps if step.kind == "mix").text.split("\n")


def test_the_water_that_the_yeast_is_stirred_into_is_as_warm_as_the_rest() -> None:
    """The water temperature was reckoned for all of it (heat balance): half of it from the tap, the dough was cold."""
    said = mixing(fresh_plan("milk-round", kitchen=NO_FINE_SCALE))
    at = next(i for i, one in enumerate(said) if one.startswith("Water at 40 °C"))
    assert said[at + 1] == "The yeast’s water is to be as warm as that, where its line does not say warmer."


def test_where_it_takes_ice_the_yeast_gets_its_water_without() -> None:
    hot = replace(NO_FINE_SCALE, tap_c=27.0, room=tuple(replace(part, temp_c=27.0) for part in NO_FINE_SCALE.room))
    said = mixing(fresh_plan("bench-tray", kitchen=hot))
    at = next(i for i, one in enumerate(said) if one.startswith("Water at "))
    assert "as ice" in said[at]
    assert said[at + 1] == "The yeast’s water comes from the tap, without ice."


def test_yeast_that_is_weighed_dry_has_no_water_of_its_own() -> None:
    assert not any("yeast’s water" in one for one in mixing(fresh_plan("milk-round")))


def test_milk_and_butter_are_said_to_go_in_cold_as_they_were_reckoned() -> None:
    """Butter from the fridge stays in lumps in a dough that is not kneaded, unless it is thin (common practice)."""
    said = mixing(fresh_plan("milk-round"))
    assert "Straight from the fridge, not warmed: milk and butter; shave the butter thin, so that it mixes in." in said
    plan = fresh_plan("milk-round")
    assert plan.making is not None
    milk = replace(plan, making=replace(plan.making, from_fridge=("Milk",)))
    assert "Straight from the fridge, not warmed: milk." in mixing(milk)
    assert not any("fridge, not warmed" in one for one in mixing(fresh_plan()))


def test_warm_water_beside_cold_milk_says_what_dough_that_makes() -> None:
    """Nobody likes yeast in water at 40 degrees, unless told that the milk takes the heat out of it."""
    plan = spoken(fresh_plan("milk-round"))
    water = next(line for line in plan.lines if line.kind == "water")
    found = re.match(r"At \d+ °C: with milk and butter from the fridge the dough comes to (\d+) °C\.", water.note)
    assert found
    assert int(found[1]) == round(plan.wanted_dough_c)
    plain = next(line for line in spoken(fresh_plan()).lines if line.kind == "water")
    assert "from the fridge" not in plain.note
