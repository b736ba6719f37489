"""Whose step it is, and what past doughs changed in a plan's yeast, in words."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.planning.test_full_plan import KITCHEN, MORNING, SHELF, wish
from tests.samples import sample_plan
from webapp.core.kinds import LessonKind
from webapp.core.kitchen import Person
from webapp.core.plan.plan import LastLesson
from webapp.planning.full_plan import plans_for
from webapp.words.plan.rise import taught_words
from webapp.words.plan.whose import with_names
from webapp.words.spoken import spoken


def test_a_step_says_whose_hands_are_free_and_who_is_at_home() -> None:
    steps = {one.kind: one for one in sample_plan().steps}
    press, preheat = steps["press"], steps["preheat"]
    assert with_names("Oil the tray.", press) == "Oil the tray."
    both = replace(press, who=("Ann", "Bo"))
    assert with_names("Oil the tray.", both) == "Oil the tray.\nHands free then, by the plan: Ann, Bo."
    lit = replace(preheat, who=("Bo",))
    assert with_names("Light it.", lit) == "Light it.\nAt home then, by the plan: Bo."


def test_in_a_house_of_two_the_name_is_in_what_pages_the_screen_and_the_calendar_read() -> None:
    home_at_noon = Person("Bo", (replace(Person().week[0], away=()),) * 7)
    two = replace(KITCHEN, people=(Person("Ann"), home_at_noon))
    plan = spoken(plans_for(wish(), two, MORNING, "b" * 22, SHELF)[0])
    press = next(one for one in plan.steps if one.kind == "press")
    assert press.text.endswith(f"by the plan: {', '.join(press.who)}.")
    assert press.beside.endswith(f"by the plan: {', '.join(press.who)}.")
    alone = spoken(plans_for(wish(), KITCHEN, MORNING, "b" * 22, SHELF)[0])
    assert all("by the plan:" not in one.text for one in alone.steps)


@pytest.mark.parametrize(
    ("quicker", "seen", "times", "pace", "last", "less"),
    [
        (1.2, "glass", 3.0, "20 % faster", "glass at ×3", "25 % less"),
        (0.8, "young", 0.0, "20 % slower", "young when baked", "45 % more"),
        (1.15, "glass", 3.0, "15 % faster", "glass at ×3", "20 % less"),
    ],
)
def test_what_past_doughs_changed_is_said_with_what_was_seen_last(
    quicker: float, seen: LessonKind, times: float, pace: str, last: str, less: str
) -> None:
    """The pace goes as yeast to the power of 0.6 (fitted to published formulas): 1.2 ** (1 / 0.6) = 1.355, and 1 / that
    is 26 % less; 0.8 gives 1.45, and 1.15 a fifth less (0.792)."""
    learned = replace(sample_plan(), vigour_ln_mean=math.log(quicker), lesson=LastLesson(seen, times))
    learnt = f"Doughs rise here about {pace} than in most kitchens (the last one: {last})"
    assert taught_words(learned) == f"{learnt}, so it takes about {less} yeast."
    assert taught_words(replace(learned, lesson=None)) == ""
    assert taught_words(replace(learned, vigour_ln_mean=0.02)) == ""


def test_the_planner_takes_as_much_less_as_is_said() -> None:
    usual = plans_for(wish(), KITCHEN, MORNING, "b" * 22, SHELF)[0]
    quick = plans_for(wish(), replace(KITCHEN, vigour_ln_mean=math.log(1.15)), MORNING, "b" * 22, SHELF)
    same = next(one for one in quick if one.trade.method == usual.trade.method)
    assert same.yeast_percent / usual.yeast_percent == pytest.approx(0.8, abs=0.05)


def test_it_stands_among_the_reasons_for_the_yeast() -> None:
    plan = plans_for(wish(), KITCHEN, MORNING, "b" * 22, SHELF)[0]
    taught = replace(plan, vigour_ln_mean=0.2, lesson=LastLesson("glass", 3.0))
    assert taught_words(taught) in spoken(taught).yeast_why
    assert len(spoken(plan).yeast_why) + 1 == len(spoken(taught).yeast_why)
