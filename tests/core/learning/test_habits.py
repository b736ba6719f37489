"""Changes accepted from past bakes, and what they do to the next plan."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.errors import PlanError
from webapp.core.kitchen import Oven
from webapp.core.learning import habits
from webapp.core.learning.diagnosis import Suggestion
from webapp.core.learning.habits import (
    FACTORS,
    FIELDS,
    accept,
    adjust_of,
    drop,
    formula_with,
    value,
)
from webapp.core.oven import oven
from webapp.core.oven.profile import Adjust
from webapp.core.plan.plan import Habit
from webapp.data import doughs, trouble
from webapp.words.learned import noted_at

HOTTER = Suggestion("preheat_min", 10.0, "Heat longer.")
LESS = Suggestion("topping_times", 0.8, "Less on top.")


def test_accepting_again_moves_further_and_a_factor_multiplies() -> None:
    assert value(accept(accept((), HOTTER), HOTTER), "preheat_min") == 20.0
    assert value(accept(accept((), LESS), LESS), "topping_times") == pytest.approx(0.64)


def test_nothing_accepted_changes_nothing() -> None:
    assert all(value((), field) == (1.0 if field in FACTORS else 0.0) for field in FIELDS)
    assert adjust_of(()) == Adjust()
    formula = doughs.formulas()[0]
    assert formula_with(formula, ()) == formula


changes = st.sampled_from([rule.change for rule in trouble.cause_rules()])


@given(st.lists(changes, max_size=30))
def test_however_often_something_is_accepted_it_stays_within_sense(accepted: list[Suggestion]) -> None:
    held: tuple[Habit, ...] = ()
    for change in accepted:
        held = accept(held, change)
    for habit in held:
        low, high = FIELDS[habit.field]
        assert low <= habit.value <= high
    fields = [habit.field for habit in held if habit.field != habits.NOTE]
    assert len(fields) == len(set(fields))
    assert sum(habit.field == habits.NOTE for habit in held) <= habits.MOST_NOTES


def test_every_change_of_words_alone_is_said_at_a_step_that_plans_have() -> None:
    kinds = {"mix", "press", "load", "top", "preheat"}
    notes = [rule.change for rule in trouble.cause_rules() if rule.change.field == habits.NOTE]
    assert notes
    for change in notes:
        (held,) = accept((), change, "b")
        assert held.step in kinds
        assert change.text in noted_at((held,), held.step)
        assert noted_at((held,), "serve") == ""
    assert noted_at(accept((), HOTTER), "preheat") == ""  # what is reckoned with is in the numbers already


def test_a_change_taken_back_is_gone() -> None:
    back = Suggestion("preheat_min", -10.0, "Heat less.")
    assert accept(accept((), HOTTER), back) == ()


def test_words_that_cannot_be_reckoned_with_are_kept_once_and_the_oldest_go() -> None:
    held: tuple[Habit, ...] = accept((), HOTTER)
    for number in [1, 2, 2, 3, 4, 5, 6]:
        held = accept(held, Suggestion("note", 0.0, f"Note {number}."))
    assert [h.text for h in held] == ["Heat longer.", "Note 2.", "Note 3.", "Note 4.", "Note 5.", "Note 6."]


def test_an_unknown_change_is_refused() -> None:
    with pytest.raises(PlanError, match="change: no-habit name moon_phase"):
        accept((), Suggestion("moon_phase", 1.0, "Wait."))


def test_a_habit_is_dropped_by_its_place_and_no_other() -> None:
    held = accept(accept((), HOTTER), LESS)
    assert drop(held, 0) == held[1:]
    assert drop(held, 9) == held


def test_the_oven_hears_its_part_of_the_habits() -> None:
    held = (
        Habit("preheat_min", 9.6, ""),
        Habit("bake_min", -3.0, ""),
        Habit("bake_c", 10.0, ""),
        Habit("shelf_low", 1.0, ""),
    )
    assert adjust_of(held) == Adjust(10, -3, 10.0, "low")
    before, after = (oven.programme(oven.ToBake(Oven(), 0.7, 0.4, "tray", a)) for a in (Adjust(), adjust_of(held)))
    assert after.preheat_min == before.preheat_min + 10
    assert after.programme[-1].minute < before.programme[-1].minute


def test_water_and_rise_of_the_next_formula_move() -> None:
    formula = doughs.formula("bench-tray")
    held = (Habit("water_percent", 3.0, ""), Habit("rise_times", 0.85, ""))
    changed = formula_with(formula, held)
    water = [i.percent for i in formula.ingredients if i.kind == "water"]
    assert [i.percent for i in changed.ingredients if i.kind == "water"] == [water[0] + 3.0, *water[1:]]
    assert changed.target_increase == pytest.approx(formula.target_increase * 0.85)
    assert [i for i in changed.ingredients if i.kind != "water"] == [
        i for i in formula.ingredients if i.kind != "water"
    ]


def test_accepting_after_the_same_bake_twice_counts_once_and_after_another_again() -> None:
    once = accept((), HOTTER, "bake-1")
    assert accept(once, HOTTER, "bake-1") == once
    assert habits.accepted(once, HOTTER, "bake-1")
    assert not habits.accepted(once, HOTTER, "bake-2")
    assert value(accept(once, HOTTER, "bake-2"), "preheat_min") == 20.0
